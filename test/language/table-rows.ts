import type { Class } from '../../src/language/candidates.ts';

/**
 * Cases of spoken numbers: what a person says, what engines were seen (or are expected) to write for it, the class of
 * the case, and what is meant. Compiled from public reports about recognisers and from the test tables of number
 * parsers; numbered so that a case can be talked about.
 *
 * The class is that of the case as a whole. A single writing can be plainer or vaguer than its case: "25" is one plain
 * value, although "twenty … five", said as two readings, can end as that same "25". Such writings are listed under
 * `but`, each with its own class and the reason.
 */
export interface Row {
  readonly no: number;
  readonly said: string;
  readonly class: Class;
  /**
   * What is meant, the first most of all: values separated by spaces. "!kind" a command, "-" nothing. Each writing must
   * offer at least one of them, as its first candidate where the class is N, M or C.
   */
  readonly meant: readonly string[];
  readonly writings: readonly string[];
  readonly but?: Readonly<Record<string, readonly [Class, string]>>;
  /** Language whose words the writings are in; English unless given. */
  readonly language?: 'de' | 'fr' | 'da' | 'nl' | 'no' | 'hi';
}

const row = (
  no: number,
  said: string,
  cls: Class,
  meant: readonly string[],
  writings: readonly string[],
  but?: Row['but'],
  language?: Row['language'],
): Row => ({ no, said, class: cls, meant, writings, ...(but ? { but } : {}), ...(language ? { language } : {}) });

const merged = 'from the figures alone, two numbers may have been joined';
const plain = 'written so, it is one plain value; only the sound or the marks can tell more';
const nothing = 'this word alone is no number: too common in talk';

export const rows: readonly Row[] = [
  // Whole numbers.
  row(1, 'twenty-five', 'N', ['25'], ['25', 'twenty five', 'twenty-five', 'Twenty-five.', '25.', ' 25']),
  row(2, 'five', 'N', ['5'], ['5', 'five', 'Five.', '5.']),
  row(3, 'zero', 'N', ['0'], ['0', 'zero', 'Zero', 'hero']),
  row(4, 'nought', 'A', ['0'], ['nought', 'naught', 'not', 'nil', '0'], {
    nought: ['N', plain],
    naught: ['N', plain],
    nil: ['N', plain],
    0: ['N', plain],
    not: ['R', nothing],
  }),
  row(5, 'oh, alone', 'R', ['-', '0'], ['oh', 'o', '0', 'owe'], { 0: ['N', plain] }),
  row(6, 'a hundred', 'N', ['100'], ['100', 'a hundred', 'hundred', 'a 100']),
  row(7, 'a hundred and seventy', 'N', ['170'], ['170', 'a hundred and 70', '100 and 70'], {
    170: ['A', merged],
    '100 and 70': ['A', 'written apart: two readings are possible'],
  }),
  row(8, 'one hundred and five', 'A', ['105'], ['105', '100 and 5', '100 5']),
  row(9, 'one thousand and one', 'N', ['1001'], ['1001', '1,001', '1000 1'], {
    1001: ['A', merged],
    '1000 1': ['A', 'written apart: two readings are possible'],
  }),
  row(10, 'two hundred and two thousand', 'N', ['202000'], ['202,000', '202000', '200 and 2000'], {
    '200 and 2000': ['A', 'written apart: two readings are possible'],
  }),
  row(11, 'eleven hundred', 'A', ['1100'], ['1100', '1,100', '11:00', '11 100'], { '1,100': ['N', plain] }),
  row(12, 'twenty-one hundred', 'A', ['2100'], ['2100', '21 100', '21:00']),
  row(13, 'two thousand and nineteen', 'N', ['2019'], ['2019', '2,019'], { 2019: ['A', merged] }),
  row(14, 'nineteen seventy-six', 'A', ['1976', '19 76'], ['1976', '19 76', '19:76']),
  row(15, 'twenty twelve', 'A', ['2012', '20 12'], ['2012', '20 12', '20:12']),
  row(16, 'three thousand', 'N', ['3000'], ['3000', '3,000', '3 thousand', '3K']),
  row(17, 'thirty lakh', 'N', ['3000000'], ['30 lakh', '3000000', '30,00,000']),
  row(18, 'a dozen, a couple', 'A', ['12'], ['a dozen', '12', 'a couple'], {
    12: ['N', plain],
    'a dozen': ['R', 'nobody reads a cylinder in dozens'],
    'a couple': ['R', 'no exact number'],
  }),
  row(19, 'seventy hundred, sixty fifteen', 'A', ['60 15', '7000', '70 100'], ['7000', '70 100', '60 15', '6015'], {
    7000: ['N', plain],
    '70 100': ['M', 'written so, two readings'],
  }),
  row(20, 'thousand thousand two hundred', 'R', ['-'], ['thousand thousand two hundred', 'thousand thousand 200']),
  // Two readings in one breath.
  row(21, 'twenty-five, twenty-seven', 'A', ['25 27', '25.27'], ['2527', '25 27', '25:27', '25-27', '25/27', '25.27'], {
    25.27: ['N', 'a plain decimal; two readings stay a remote rival that the marks can raise'],
  }),
  row(22, 'fourteen, seven, thirty-eight', 'A', ['14 7 38'], ['14738', '14 7 38', '14, 7, 38'], {
    '14 7 38': ['M', 'kept apart by the engine'],
    '14, 7, 38': ['M', 'kept apart by the engine'],
  }),
  row(23, 'twenty … five, two readings', 'A', ['20 5', '25'], ['25', '20 5', '20, 5', '20. 5'], { 25: ['N', plain] }),
  row(24, 'twenty-five, with a gap', 'A', ['25'], ['20 5', '20 five']),
  row(25, 'twenty-five, twenty-five', 'A', ['25 25', '25'], ['25 25', '2525', '25'], { 25: ['N', plain] }),
  row(26, 'twenty-five, comma, twenty-seven', 'A', ['25 27'], ['25, 27', '25,27', '25 comma 27'], {
    '25, 27': ['A', 'a list; a decimal comma is possible'],
  }),
  row(27, 'twenty-five, next, twenty-seven', 'M', ['25 27'], ['25 next 27', '25 next, 27']),
  row(28, 'five five', 'A', ['55', '5 5'], ['55', '5 5', '5:05'], { 55: ['N', plain] }),
  row(29, 'one two three four', 'A', ['1234'], ['1234', '1 2 3 4', '12:34']),
  row(30, 'ten, twenty, thirty', 'M', ['10 20 30'], ['10 20 30', '102030', '10:20 30'], {
    102030: ['A', merged],
    '10:20 30': ['A', 'part of it is written as a time of day'],
  }),
  row(31, 'fifty, sixty, thirty and eleven', 'M', ['50 60 30 11'], ['50 60 30 and 11']),
  row(32, 'one four two zero', 'A', ['1420'], ['1420', '1 4 2 0', '14:20']),
  // Times of day, dates, telephone numbers, money.
  row(33, 'one thirty', 'A', ['130', '1 30'], ['1:30', '130', '1 30', 'one thirty']),
  row(34, 'one thirty-nine', 'A', ['139'], ['139', '1:39', '1 39']),
  row(35, 'one oh nine', 'A', ['109'], ['109', '1:09', '1 0 9', '1 oh 9']),
  row(36, 'two fifty', 'A', ['250', '2.50'], ['250', '2:50', '$2.50', '2 50']),
  row(37, 'two fifty-five', 'A', ['255'], ['255', '2:55']),
  row(38, 'eight fifty-one', 'A', ['851', '8 51'], ['8:51', '08:51', '851']),
  row(39, 'eleven fifty-five', 'A', ['1155', '11 55'], ['11:55', '1155']),
  row(40, 'eleven', 'A', ['11'], ['11:00']),
  row(41, 'ten four', 'A', ['10 4', '104'], ['10-4', '104', '10 4', '10:04'], {
    '10 4': ['M', 'kept apart by the engine; 104 would need a "hundred" or its digits'],
  }),
  row(42, 'ten to eleven', 'A', ['10 11', '10 50', '10 2 11'], ['10 to 11', '10:50', '10-11', '10 2 11']),
  row(
    43,
    'half past three, quarter to one',
    'R',
    ['-', '3.30', '12.45'],
    ['half past three', 'quarter to one', '3:30', '12:45'],
    {
      '3:30': ['A', 'three thirty would be written so as well'],
      '12:45': ['A', 'twelve forty-five would be written so as well'],
    },
  ),
  row(44, 'two thirty p.m.', 'R', ['-'], ['2:30 p.m.', '2:30 PM']),
  row(45, 'five five five one two one two', 'A', ['5551212'], ['555-1212', '5551212', '555 1212']),
  row(46, 'ten digits', 'A', ['123 123 5678'], ['123-123-5678']),
  row(47, 'two, three, twenty-five', 'A', ['2 3 25'], ['2/3/25', '2 3 25', '2325']),
  row(48, 'march three', 'R', ['-'], ['March 3', '3/3']),
  row(49, 'seventy-five sixty-three', 'A', ['75 63', '75.63'], ['75 63', '7563', '$75.63', '75.63'], {
    75.63: ['N', 'a plain decimal; two readings stay a remote rival that the marks can raise'],
  }),
  row(50, 'five, written as money', 'A', ['5', '0.01'], ['$0.01', '$5']),
  row(51, 'twenty-five, written as an ordinal', 'A', ['25'], ['25th']),
  row(52, 'second', 'A', ['2'], ['second', '2nd', 'sec'], {
    second: ['R', 'a unit of time or an order, no reading'],
    sec: ['R', 'a unit of time'],
  }),
  row(53, 'number five', 'A', ['5'], ['#5', 'number 5', 'No. 5']),
  row(54, 'four numbers with dots between', 'R', ['-'], ['123.123.0.40']),
  row(55, 'eleven fifty-five, a year', 'A', ['1155'], ['1155']),
  // Decimals.
  row(
    56,
    'twenty-five point five',
    'N',
    ['25.5'],
    ['25.5', '25 point 5', 'twenty five point five', '25.5.', '25 .5', '25. 5'],
    {
      '25. 5': ['A', 'a full stop between two readings looks the same'],
    },
  ),
  row(57, 'twenty-five dot five', 'N', ['25.5'], ['25.5', '25 dot 5']),
  row(58, 'eighteen point oh five', 'N', ['18.05'], ['18.05', '18 point 05', '18.0 5', '18 point oh 5']),
  row(59, 'eighteen point five oh', 'N', ['18.50'], ['18.50', '18.5 0', '18.5 oh']),
  row(60, 'eighteen point oh oh oh', 'N', ['18.000'], ['18.000', '18.0 0 0']),
  row(61, 'sixty point two four zero zero', 'N', ['60.2400'], ['60.2400', '60.24 00']),
  row(62, 'point five', 'N', ['0.5'], ['.5', '0.5', 'point 5', 'point five', '.5.']),
  row(63, 'oh point five', 'N', ['0.5'], ['0.5', '0 point 5', 'O.5', 'oh .5', 'oh point five', 'zero point five']),
  row(64, 'nought point five', 'N', ['0.5'], ['0.5', 'not point five', 'nought point 5']),
  row(65, 'point zero two', 'N', ['0.02'], ['.02', '0.02', 'point 02']),
  row(66, 'point one two oh five', 'N', ['0.1205'], ['.1205', '0.12 05']),
  row(67, 'twenty-five point twenty-seven', 'N', ['25.27'], ['25.27', '25 point 27']),
  row(68, 'two hundred point seventy-one', 'N', ['200.71'], ['200.71', 'two hundred point seventy one']),
  row(69, 'point nineteen', 'N', ['0.19'], ['.19', '0.19', 'point 19', 'point nineteen']),
  row(
    70,
    'one point two hundred thirty-six',
    'A',
    ['1.236', '1.200 36'],
    ['1.236', '1.200 36', 'one point two hundred thirty six'],
    {
      1.236: ['N', plain],
    },
  ),
  row(71, 'twenty-five point, cut off', 'P', ['25'], ['25', '25 point', '25.'], {
    25: ['N', plain],
    '25.': ['N', 'engines end a phrase with a full stop'],
  }),
  row(72, 'point, alone', 'R', ['-'], ['point', '.', 'Point.']),
  row(73, 'point five, after a final 25', 'A', ['0.5'], [' .5', 'point 5'], {
    ' .5': ['N', 'joined to what came before by time, see "continues"'],
    'point 5': ['N', 'joined to what came before by time, see "continues"'],
  }),
  row(74, 'zero eight', 'A', ['8', '0.8'], ['08', '0 8', '8', '0.8'], { 8: ['N', plain], 0.8: ['N', plain] }),
  row(75, 'zero zero seven', 'A', ['7'], ['007', '0 0 7']),
  row(76, 'five point oh', 'A', ['5.0', '50'], ['5.0', '5.O', '5 point oh', '50'], {
    '5.0': ['N', plain],
    '5.O': ['N', plain],
    '5 point oh': ['N', plain],
    50: ['N', 'the point is gone: only the marks can tell'],
  }),
  row(77, 'twenty-five and a half', 'N', ['25.5'], ['25 1/2', '25 and a half', '25½', '25.5']),
  row(78, 'a half', 'N', ['0.5'], ['1/2', '½', 'half', '0.5', 'one half']),
  row(79, 'two and a quarter', 'N', ['2.25'], ['2 1/4', '2 and 1/4', '2¼']),
  row(80, 'three quarters', 'A', ['0.75'], ['3/4', 'three quarters', '¾'], {
    'three quarters': ['N', plain],
    '¾': ['N', plain],
  }),
  row(81, 'one over three', 'N', ['0.333'], ['1/3', '1 over 3']),
  row(82, 'twenty and three fifths, twenty-three fifths', 'A', ['20.6', '4.6'], ['20 3/5', '23/5']),
  row(83, 'five thousandths', 'A', ['0.005'], ['0.005', '5 thousandths', '5000ths'], {
    0.005: ['N', plain],
    '5 thousandths': ['N', plain],
  }),
  row(84, 'one and a fifth', 'N', ['1.2'], ['1 1/5', '1 and 1/5', '1.2', 'one and a fifth']),
  // Sign, power, scale.
  row(85, 'minus five', 'N', ['-5'], ['-5', 'minus 5', '- 5', '−5', 'negative 5']),
  row(86, 'minus point two', 'N', ['-0.2'], ['-.2', '-0.2', 'minus .2']),
  row(87, 'twenty minus five', 'A', ['20 -5'], ['20 - 5', '20-5', '20 -5']),
  row(88, 'plus five', 'N', ['5'], ['+5', 'plus 5']),
  row(89, 'one point two e minus five', 'A', ['0.000012'], ['1.2 e-5', '1.2 E -5', '1.2 - 5', '1.2 e minus 5']),
  row(
    90,
    'one point two times ten to the minus five',
    'A',
    ['0.000012'],
    ['1.2 x 10 ^ -5', '1.2 * 10 -5', '1.2 times 10 to the -5'],
  ),
  row(91, 'one hundred sixty-four point five eight thousand', 'N', ['164580'], ['164.58 thousand']),
  row(92, 'two million, three k', 'N', ['2000000', '3000'], ['2 million', '2M', '3K', '3 k']),
  // Units glued or mangled.
  row(93, 'twenty-five mils', 'A', ['25'], ['25 mils', '25 mills', '25 meals', '25 miles', '25 ml', '25ml'], {
    '25 mils': ['N', plain],
    '25 mills': ['N', plain],
    '25 ml': ['N', plain],
    '25ml': ['N', plain],
  }),
  row(94, 'twenty-five millilitres', 'N', ['25'], ['25 ml', '25 mL', '25 ML', '25 millilitres', '25 milliliters']),
  row(95, 'one millivolt', 'A', ['1'], ['1 mv', '1 MV', '1 mV']),
  row(96, 'eighteen mega siemens', 'A', ['18'], ['18 ms']),
  row(97, 'three hundred micrometres', 'N', ['300'], ['300 μm', '300 µm', '300 um']),
  row(98, 'thirty degrees', 'N', ['30'], ['30°', '30 °C', '30°C', '30 degrees']),
  row(99, 'five percent', 'N', ['5'], ['5%', '5 %', '5 percent']),
  row(100, 'two point five ohms', 'A', ['2.5'], ['2.5 ohms', '2.5 homes', '2.5 Ω'], {
    '2.5 ohms': ['N', plain],
    '2.5 Ω': ['N', plain],
  }),
  row(101, 'one fifty c c', 'N', ['150'], ['150 cc', '150 CC', '150 see see'], {
    '150 cc': ['A', merged],
    '150 CC': ['A', merged],
    '150 see see': ['A', merged],
  }),
  row(102, 'twenty-five grams', 'N', ['25'], ['25 g', '25g', '25 grams', '25 G']),
  row(103, 'five by ten', 'M', ['5 10'], ['5 by 10', '5 x 10', '5*10', '5 × 10']),
  row(104, 'five foot two', 'R', ['-'], ['5\'2"', '5 ft 2']),
  row(105, 'p H seven point four', 'N', ['7.4'], ['pH 7.4', 'PH 7.4', 'page 7.4', 'ph 7.4']),
  row(106, 'row five, twenty-five', 'A', ['25'], ['row 525', 'row 5 25', 'row 5:25', 'row five 25']),
  row(107, 'twenty-five to twenty-seven', 'A', ['25 27', '25 2 27'], ['25 to 27', '25-27', '25 2 27', '25 227']),
  row(108, 'less than five, about five', 'A', ['5'], ['less than 5', '<5', 'about 5']),
  // Words that sound like numbers.
  row(109, 'two', 'N', ['2'], ['to', 'too', 'tu', '2']),
  row(110, 'four', 'N', ['4'], ['for', 'fore', '4', 'floor']),
  row(111, 'one', 'A', ['1'], ['won', 'wan', 'Juan', '1', 'I'], { 1: ['N', plain], I: ['R', nothing] }),
  row(112, 'eight', 'A', ['8'], ['ate', '8', 'hate', 'a', 'eat'], { 8: ['N', plain], a: ['R', nothing] }),
  row(113, 'three', 'N', ['3'], ['tree', 'free', 'thee', '3']),
  row(114, 'five', 'A', ['5'], ['fife', 'hive', '5', 'wife', 'fight'], {
    fife: ['N', 'the radiotelephony word for five'],
    5: ['N', plain],
  }),
  row(115, 'nine', 'A', ['9'], ['niner', 'nein', 'mine', 'nun', 'line', '9'], {
    niner: ['N', 'the radiotelephony word for nine'],
    9: ['N', plain],
  }),
  row(116, 'none', 'R', ['-'], ['none']),
  row(117, 'six', 'A', ['6'], ['6', 'sex', 'sicks', 'sax', 's**'], {
    6: ['N', plain],
    's**': ['R', 'masked by the engine'],
  }),
  row(118, 'four', 'A', ['4'], ['fower', '4', 'flower'], {
    fower: ['N', 'the radiotelephony word for four'],
    4: ['N', plain],
  }),
  row(119, 'ten', 'A', ['10'], ['10', 'tan', 'tin', 'then'], { 10: ['N', plain] }),
  row(120, 'forty-two', 'A', ['42'], ['forty too', '40 to', '42', 'four to'], {
    42: ['N', plain],
    'four to': ['A', 'forty lost its end'],
  }),
  row(121, 'forty-four', 'A', ['44'], ['forty for', '44', '40 4'], { 44: ['N', plain] }),
  row(122, 'twenty-two', 'A', ['22'], ['twenty to', '20 to', '22'], { 22: ['N', plain] }),
  row(123, 'two two two', 'A', ['222', '2 2 2', '22'], ['222', 'to 2 2', '2 to 2', 'tutu']),
  row(124, 'one, the pronoun', 'R', ['-'], ['that one', 'another one']),
  row(125, 'tree point fife', 'N', ['3.5'], ['3.5', 'tree point fife', '3 point fife']),
  // -teen and -ty, checked repeats.
  row(126, 'thirteen', 'N', ['13', '30', '13 30'], ['13', '30', 'thirty', '1330'], { 1330: ['A', merged] }),
  row(127, 'fourteen', 'A', ['14', '40'], ['14', '40'], {
    14: ['N', 'the partner 40 is weighed in by the expectation'],
    40: ['N', 'the partner 14 is weighed in by the expectation'],
  }),
  row(128, 'fifteen', 'A', ['15', '50'], ['15', '50', '15th'], {
    15: ['N', 'the partner 50 is weighed in by the expectation'],
    50: ['N', 'the partner 15 is weighed in by the expectation'],
  }),
  row(129, 'sixteen', 'A', ['16', '60'], ['16', '60'], {
    16: ['N', 'the partner 60 is weighed in by the expectation'],
    60: ['N', 'the partner 16 is weighed in by the expectation'],
  }),
  row(
    130,
    'seventeen, eighteen, nineteen',
    'A',
    ['17', '18', '19', '70', '80', '90'],
    ['17', '70', '18', '80', '19', '90'],
    {
      17: ['N', 'weighed by the expectation'],
      70: ['N', 'weighed by the expectation'],
      18: ['N', 'weighed by the expectation'],
      80: ['N', 'weighed by the expectation'],
      19: ['N', 'weighed by the expectation'],
      90: ['N', 'weighed by the expectation'],
    },
  ),
  row(131, 'fifty, five zero', 'N', ['50'], ['50 50', '5050', '50 5 0', '5050.', 'fifty five zero'], {
    '50 50': ['A', 'said twice, or two readings'],
    5050: ['A', merged],
    '5050.': ['A', merged],
  }),
  row(132, 'one five', 'A', ['15'], ['15', '1 5', '1:05', 'one five'], { 15: ['N', plain] }),
  row(133, 'twenny, fitty, thirdy', 'A', ['20', '50', '30'], ['20', 'plenty', 'fitty', '50', 'dirty'], {
    20: ['N', plain],
    50: ['N', plain],
  }),
  // Repair, fillers, commands.
  row(134, 'um, twenty-five', 'N', ['25'], ['um 25', '25', 'and 25', "I'm 25", 'M 25']),
  row(135, 'twenty-five, no, twenty-six', 'N', ['26'], ['25 no 26', '25 know 26', '25 No. 26']),
  row(136, 'no, twenty-five', 'A', ['25', '!correction 25'], ['no 25', 'No. 25', 'know 25', 'number 25']),
  row(137, 'correction, twenty-five', 'C', ['!correction 25'], ['correction 25', 'Correction, 25.', 'connection 25']),
  row(138, 'disregard', 'C', ['!disregard'], ['disregard', 'this regard', 'the regard', 'disregarded']),
  row(139, 'say again', 'C', ['!say-again'], ['repeat', 'repeats', 'say again']),
  row(140, 'next, skip', 'C', ['!step'], ['next', 'necks', 'text', 'skip', 'scape']),
  row(141, 'yes, no', 'C', ['!reply'], ['yes', 'yeah', 'yep', 'no', 'know', 'nope', 'nah']),
  row(142, 'stop', 'C', ['!stand-by'], ['stop', 'top', 'stock', 'shop']),
  row(143, 'twenty-five, full stop', 'N', ['25'], ['25.', '25 period', '25 full stop']),
  row(144, "the tool's own voice: recorded twenty-five", 'R', ['-', '25'], ['recorded 25', '25', 'recorder 25'], {
    25: ['N', 'only the moment tells that it is the own voice, see "isEcho"'],
  }),
  row(145, 'talk in the room', 'R', ['-'], ['I have twenty-five samples to do', 'we need 25 of those by noon']),
  row(146, 'noise', 'R', ['-'], ['the', 'uh', 'hmm', '']),
  // Surface and country.
  row(
    147,
    'one thousand two hundred thirty-four',
    'A',
    ['1234', '1 234', '1.234'],
    ['1,234', '1.234', '1 234', '1\u00a0234', "1'234"],
    {
      '1,234': ['N', 'thousands in English'],
      1.234: ['N', 'a decimal in English'],
      "1'234": ['N', plain],
    },
  ),
  row(148, 'twelve lakh thirty-four thousand …', 'N', ['1234567'], ['12,34,567']),
  row(149, 'one, two hundred thirty-four, …', 'M', ['1 234 567'], ['1, 234, 567']),
  row(150, 'eins Komma eins', 'N', ['1.1', '1.10'], ['1,1', '1 komma 1', '01,10'], undefined, 'de'),
  row(151, 'fünfundzwanzig', 'N', ['25'], ['25', 'fünfundzwanzig', 'fünf und zwanzig'], undefined, 'de'),
  row(152, 'fünf und zwanzig, as a list', 'A', ['25', '5 20'], ['5 und 20'], undefined, 'de'),
  row(153, 'null Komma eins fünf', 'N', ['0.15'], ['0,15', '0 komma 15', 'null Komma eins fünf'], undefined, 'de'),
  row(
    154,
    'quatre-vingt-dix',
    'N',
    ['90'],
    ['90', 'quatre-vingt-dix', '4 20 10', '80 10'],
    {
      '4 20 10': ['A', 'written apart'],
      '80 10': ['A', 'written apart'],
    },
    'fr',
  ),
  row(
    155,
    'un, deux, trois, quatre-vingt-quinze',
    'A',
    ['1 2 3 95', '1 2 3 4 20 15'],
    ['1 2 3 95', '1 2 3 4 20 15', 'un deux trois quatre vingt quinze'],
    {
      '1 2 3 95': ['A', 'digits in a row may be one number'],
    },
    'fr',
  ),
  row(
    156,
    'septante, nonante, huitante',
    'N',
    ['70', '90', '80'],
    ['70', '90', '80', 'septante', 'nonante', 'huitante'],
    undefined,
    'fr',
  ),
  row(
    157,
    'halvtreds, halvfems, femoghalvtreds',
    'N',
    ['50', '90', '55'],
    ['50', '90', '55', 'halvtreds', 'halvfems', 'femoghalvtreds'],
    undefined,
    'da',
  ),
  row(158, 'vijfentwintig', 'N', ['25'], ['25', 'vijfentwintig', 'vijf en twintig'], undefined, 'nl'),
  row(158, 'tjuefem, fem og tjue', 'N', ['25'], ['25', 'tjuefem', 'femogtyve', 'fem og tjue'], undefined, 'no'),
  row(159, 'पच्चीस', 'N', ['25'], ['25', '२५', 'पच्चीस'], undefined, 'hi'),
  row(160, 'full-width and native digits', 'N', ['25', '-5', '25.5'], ['２５', '−5', '25½']),
];
