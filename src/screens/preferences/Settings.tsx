import { VoiceChoice } from '../voice/VoiceChoice.tsx';
import { AnswerChoice } from './AnswerChoice.tsx';
import { HearingChoice } from './HearingChoice.tsx';
import './preferences.css';

/** All settings of this device. */
export function Settings() {
  return (
    <div class="settings">
      <HearingChoice />
      <VoiceChoice />
      <AnswerChoice />
    </div>
  );
}

export default Settings;
