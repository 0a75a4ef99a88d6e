import { AnswerChoice } from './AnswerChoice.tsx';
import { HearingChoice } from './HearingChoice.tsx';

/** All settings of this device. */
export function Settings() {
  return (
    <>
      <HearingChoice />
      <AnswerChoice />
    </>
  );
}

export default Settings;
