"""What is said in training: sentences of the product's own language, and speech that is not for it.

Every sentence is a list of (label, spelling) pairs. The label is what the net must answer; the spelling is what the
synthesiser is given ("niner" is spelled so but labelled "nine"). Speech outside the vocabulary has the label
GARBAGE, one for each unbroken stretch of it.
"""

import json
import pathlib
import random

# Words and kinds of sentences of the live grammar, written by `npm run vocabulary`.
VOCABULARY = json.loads((pathlib.Path(__file__).parent / "vocabulary.json").read_text())

GARBAGE = "<other>"

UNITS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
TEENS = ["ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
REPEATS = ["double", "triple"]
NUMBER_WORDS = UNITS + ["oh", "nought"] + TEENS + TENS + ["hundred", "a", "and", "half", "point", "decimal"]
UNIT_WORDS = ["millilitres", "degrees", "celsius"]
COMMAND_WORDS = (
    "mark correction disregard say again stand by go ahead baseline start end run swirling swirl stopped leak spill "
    "temperature poured of next previous read step note affirm affirmative negative yes no that was"
).split()
REAGENT_WORDS = ["hydrogen", "peroxide", "potassium", "iodide", "water", "soap", "solution"]
# Words of everyday speech in place of procedure words: "scratch that", "make that 31", "how fast".
PLAIN_WORDS = "scratch make i said is now at ready done rinsed repeat what how fast long last".split()

# Index 0 is the blank of CTC. New words come last, so that weights of before keep their rows.
LABELS = ["<blank>", GARBAGE] + NUMBER_WORDS + UNIT_WORDS + COMMAND_WORDS + REAGENT_WORDS + REPEATS + PLAIN_WORDS
LABELS += [word for word in VOCABULARY["words"] if word not in LABELS]

# Ways people say a word that a synthesiser's dictionary does not know, with their share of the cases.
SPELLINGS = {
    "oh": [("oh", 0.7), ("o", 0.3)],
    "nought": [("nought", 1.0)],
    "three": [("three", 0.94), ("tree", 0.06)],
    "four": [("four", 0.97), ("fower", 0.03)],
    "five": [("five", 0.94), ("fife", 0.06)],
    "nine": [("nine", 0.92), ("niner", 0.08)],
    "zero": [("zero", 0.93), ("zeero", 0.07)],
    "twenty": [("twenty", 0.8), ("twenny", 0.2)],
    "thirty": [("thirty", 0.85), ("thurdy", 0.15)],
    "forty": [("forty", 0.85), ("fordy", 0.15)],
    "seventy": [("seventy", 0.85), ("sevendy", 0.15)],
    "eighty": [("eighty", 0.85), ("aidy", 0.15)],
    "ninety": [("ninety", 0.85), ("nindy", 0.15)],
    "millilitres": [
        ("milliliters", 0.3), ("milliliter", 0.1), ("mils", 0.25), ("mill", 0.05), ("em el", 0.25), ("mls", 0.05),
    ],
    "and": [("and", 0.8), ("an", 0.2)],
    "a": [("a", 1.0)],
    "decimal": [("decimal", 0.8), ("dessimal", 0.1), ("dayseemal", 0.1)],
    "yes": [("yes", 0.8), ("yeah", 0.1), ("yep", 0.1)],
    "no": [("no", 0.9), ("nope", 0.1)],
    "temperature": [("temperature", 0.7), ("temprature", 0.3)],
}


def spell(label, rng):
    options = SPELLINGS.get(label)
    if not options:
        return label
    pick = rng.random() * sum(weight for _, weight in options)
    for spelling, weight in options:
        pick -= weight
        if pick <= 0:
            return spelling
    return options[-1][0]


def cardinal(n, rng):
    """0..199 as a person says it."""
    if n < 10:
        return [rng.choice(["zero", "zero", "zero", "nought"])] if n == 0 else [UNITS[n]]
    if n < 20:
        return [TEENS[n - 10]]
    if n < 100:
        return [TENS[n // 10 - 2]] + ([UNITS[n % 10]] if n % 10 else [])
    rest = n - 100
    style = rng.random()
    if rest == 0:
        return rng.choice([["one", "hundred"], ["a", "hundred"], ["a", "hundred"], ["hundred"]])
    if style < 0.2 and rest >= 10:
        return ["one"] + cardinal(rest, rng)
    if style < 0.3 and rest < 10:
        return ["one", "oh", UNITS[rest]]
    head = rng.choice([["one", "hundred"], ["a", "hundred"]])
    return head + (["and"] if rng.random() < 0.6 else []) + cardinal(rest, rng)


def digit(d, rng):
    return rng.choice(["zero", "oh"]) if d == 0 else UNITS[d]


def digits(n, rng):
    """0..199 digit by digit."""
    return [digit(int(c), rng) for c in str(n)]


def number(rng):
    kind = rng.random()
    n = rng.randrange(0, 101) if rng.random() < 0.75 else rng.randrange(100, 200)
    base = digits(n, rng) if rng.random() < 0.3 else cardinal(n, rng)
    if kind < 0.6:
        return base
    if kind < 0.92:
        sign = "point" if rng.random() < 0.65 else "decimal"
        tail = [digit(rng.randrange(10), rng)]
        if rng.random() < 0.3:
            tail = [digit(rng.randrange(10), rng), digit(rng.randrange(10), rng)]
        elif rng.random() < 0.05:
            tail = cardinal(rng.randrange(10, 100), rng)
        if n == 0 and rng.random() < 0.4:
            base = []
        return base + [sign] + tail
    return base + ["and", "a", "half"]


COMMANDS = [
    "mark", "disregard", "say again", "stand by", "go ahead", "end run", "swirling", "swirl stopped", "leak", "spill",
    "next step", "previous step", "read step", "affirm", "affirmative", "negative", "yes", "no", "scratch that", "next run",
    "ready", "done", "rinsed", "repeat", "what now", "how fast", "how long", "last one",
]
BEFORE_NUMBER = [
    "correction", "baseline", "temperature", "that was", "mark", "start run", "no", "make that", "i said", "that is", "at",
]
# What the live grammar knows beside these is trained as well.
for text in (sentence["text"] for sentence in VOCABULARY["sentences"]):
    if "{" not in text and text not in COMMANDS:
        COMMANDS.append(text)
    elif text.endswith(" {volume}") and text.removesuffix(" {volume}") not in BEFORE_NUMBER:
        BEFORE_NUMBER.append(text.removesuffix(" {volume}"))
    elif text == "pressure {pressure}":
        BEFORE_NUMBER.append("pressure")
REAGENTS = ["peroxide", "hydrogen peroxide", "potassium iodide", "iodide", "water", "soap", "solution"]


def pressure(rng):
    """Air pressure in hPa as it is said: "nine eight five", "one thousand and thirteen", "nine hundred and eighty"."""
    hpa = rng.randrange(940, 1050) if rng.random() < 0.7 else rng.choice([rng.randrange(500, 940), rng.randrange(1000, 1100)])
    if rng.random() < 0.4:
        return digits(hpa, rng)
    head = [rng.choice(["one", "one", "a"]), "thousand"] if hpa >= 1000 else [UNITS[hpa // 100], "hundred"]
    rest = hpa % 1000 if hpa >= 1000 else hpa % 100
    return head + ((["and"] if rng.random() < 0.6 else []) + cardinal(rest, rng) if rest else [])


def in_grammar(rng):
    """One sentence that the product understands, as labels."""
    kind = rng.random()
    if kind < 0.58:
        words = number(rng)
        if rng.random() < 0.22:
            words = words + ["millilitres"]
        return words
    if kind < 0.80:
        return rng.choice(COMMANDS).split()
    if kind < 0.94:
        head = rng.choice(BEFORE_NUMBER)
        if head == "start run":
            return ["start", "run"] + cardinal(rng.randrange(1, 13), rng)
        if head == "pressure":
            return ["pressure"] + pressure(rng)
        words = head.split() + number(rng)
        if head == "temperature":
            if rng.random() < 0.3:
                words = words + ["degrees"] + (["celsius"] if rng.random() < 0.4 else [])
        elif rng.random() < 0.2:
            words = words + ["millilitres"]
        if head == "that is" and rng.random() < 0.6:
            words = words + ["now"]
        return words
    words = ["poured"] + number(rng)
    if rng.random() < 0.6:
        words = words + ["millilitres"]
    return words + ["of"] + rng.choice(REAGENTS).split()


def word_salad(rng):
    """Vocabulary words in any order: teaches the words, not the grammar."""
    pool = NUMBER_WORDS if rng.random() < 0.6 else LABELS[2:]
    return [rng.choice(pool) for _ in range(rng.choice([1, 1, 2, 2, 3, 4]))]


def digit_run(rng):
    """One to three single digits, or a short number word: the shortest sounds are the hardest."""
    pool = UNITS + ["oh"] if rng.random() < 0.8 else NUMBER_WORDS
    return [(w, spell(w, rng)) for w in (rng.choice(pool) for _ in range(rng.choice([1, 1, 1, 2, 2, 3])))]


def repeated(rng):
    """"double eight", "triple zero": how many people say the same digit twice or three times."""
    return [rng.choice(REPEATS), digit(rng.randrange(10), rng)]


def number_talk(rng):
    """
    Numbers alone, drawn for what people's calls go wrong with: a -teen or a ten by itself and before a unit, single
    digits, digits in a row as in a telephone number, "double" and "triple", decimals.
    """
    kind = rng.random()
    if kind < 0.26:
        words = [rng.choice(TEENS + TENS)]
    elif kind < 0.46:
        words = [rng.choice(TENS), rng.choice(UNITS[1:])]
    elif kind < 0.60:
        words = [rng.choice(UNITS + ["oh"])]
    elif kind < 0.78:
        words = []
        for _ in range(rng.choice([2, 2, 3, 3, 4, 5, 6, 7])):
            words += repeated(rng) if rng.random() < 0.16 else [digit(rng.randrange(10), rng)]
    else:
        words = number(rng)
    if kind < 0.6 and rng.random() < 0.1:
        words = words + ["millilitres"]
    return [(w, spell(w, rng)) for w in words]


def weak(rng):
    """
    Sentences with the words learnt last ("pressure", "thousand", "skip") and those that were heard worst before: "scratch
    that", "done" against "one", "no twenty", "poured eighteen", a -teen against its -ty, 4, 5 and 9, 3, 6 and 8; and
    speech that sounds like them.
    """
    kind = rng.random()
    short = lambda: cardinal(rng.randrange(1, 100), rng) if rng.random() < 0.75 else number(rng)
    if kind < 0.24:
        words = ["pressure"] + pressure(rng)
    elif kind < 0.28:
        words = pressure(rng)
    elif kind < 0.36:
        words = ["skip"]
    elif kind < 0.41:
        words = ["scratch", "that"]
    elif kind < 0.47:
        words = ["done"] if rng.random() < 0.65 else ["one"]
    elif kind < 0.57:
        words = ["no"] + short()
    elif kind < 0.67:
        words = ["poured"] + short() + (["millilitres"] if rng.random() < 0.4 else [])
        words += ["of"] + rng.choice(REAGENTS).split() if rng.random() < 0.9 else []
    elif kind < 0.72:
        words = rng.choice(["make that", "i said", "that was", "that is", "at", "correction"]).split() + short()
    elif kind < 0.76:
        words = rng.choice("ready|rinsed|next step|previous step|what now|yes|no|repeat|last one|disregard".split("|")).split()
    elif kind < 0.84:
        words = [rng.choice(TEENS + TENS)]
    elif kind < 0.92:
        words = [rng.choice(["three", "four", "five", "six", "eight", "nine"])]
        if rng.random() < 0.6:
            words = [rng.choice(TENS)] + words
    else:
        near = " ".join(rng.choice(LATE_MISSES) for _ in range(rng.choice([1, 1, 2])))
        return mixed(near, rng.choice(["", "", "one", " ".join(short())]), "", rng)
    return [(w, spell(w, rng)) for w in words]


# Talk in a school laboratory that is not for the recorder. All written for this project.
ROOM_TALK = """
can you pass me the flask please
did you write that down
i think the tube is blocked
wait for the bubbles to slow
who has the stopwatch
put your goggles on
the water is too cold
where is the other clamp
it is dripping on the bench
hold the cylinder upright
is it level with your eye
we need more time
ask the teacher about it
this one is leaking again i think
careful with that bottle
what did you say
nobody is listening
turn the tap off
there is air in the tube
it went up really fast
i dropped the stopper
how long has it been
let me have a look
it is nearly full
do not shake it
that looks about right
pour it slowly
we should clean this up
are you ready
not yet
just a moment
hang on
sorry
thank you
hello
good morning everyone
okay
all right then
keep going
come over here
what time is lunch
my hands are wet
the label came off
read the instructions first
i forgot my notebook
is anyone using this balance
move your bag out of the way
the bell is about to ring
how many drops was that
it smells strange in here
open the window
the colour changed
write your name on it
take the average of them
plot it on the graph
the line is not straight
our group is finished
you are standing in my light
it is your turn now
have you seen my pencil
what is the answer
i cannot hear you
the screen went dark
say it louder
stop laughing
it works now
no idea
maybe later
of course
not really
see you tomorrow
that was close
that was funny
no way
yes please
read it to me
go away
go on
go home
stand up
stand over there
stand back
by the way
start again
start the music
run away
run the tap
end of story
end it there
next week
next to the sink
step back
step aside
mark my words
market day
note the time of day
water is everywhere
soap and water please
start over
the temperature is rising
poured it all over the floor
spill it out
previous owner
point it at the wall
half of them are missing
half past
a bit of both
and then what
again and again
say something
say hello
""".strip().split("\n")

# Words that sound like ours.
NEAR_MISSES = """
tent tend then ton tan tin den hen pen when men tens
fine fire find wine mine line life knife hive wife fight wife's drive dive alive
nigh night nice nein nun none noun now name
sick sticks socks sax fix mix kicks tricks sit
heaven levin leaven session severn oven
ape late hate weight wait aid age gate plate
free tree thee fee key see tea knee sea three's
more door floor thought fort war pour store ford
shoe do new you blue through tooth tune food
one's sun fun run's wand want once
hero arrow narrow euro sorrow row
hat help held shelf self elf
pause paws pose poise poison pint paint joint coin appoint
plenty twin tenth twenties dirty thirsty shorty sporty naughty fifties fifth sixth sixties seventh eighth ninth
hundreds hunted thunder under wonder
mask dark park bark marked remark market marker arc
lake leap lick league lead leaf week speak peel bill skill still pill hill fill spell
boat vote coat float rope notice motor
affair affirmed form firm formative
relative native active positive
guess jazz less best chess mess
gnome snow now go so low blow
regard record guard disrespect discard desert
connection collection direction election protection
vaseline gasoline bass line basically
starting stop art smart
and sand ant hand band
rum ran rain ring wrong ruin
whirling whirl swirled twirling curling girl squirrel
topped stopping stop dropped shopped
literature creature furniture feature
board powered toward scored bored
text neck nest necks
obvious serious various
red rid reed ready head bread
stab stop stamp stepping steep
against a game a gain begin
stay say so sale safe sail
go head a hat ahead of all a bed
minus plus equals percent
""".strip().split()

# Words that sound like those learnt last.
LATE_MISSES = """
press pressing pressed pleasure fresher measure treasure pressures president precious
thousands sousand how's and thousandth cows and
ship skipper skipped skin kip script scale skill skim keep sip flip clip
scotch scratchy scratched sketch stretch crutch catch that stretch that fetch that
dawn don dumb gone dunk down undone dun ton won won't wonder
poor port pouring pored board for nor know nose note low
""".strip().split()
NEAR_MISSES += LATE_MISSES

# Everyday words: material for speech that means nothing to us.
COMMON = """
about above across after afternoon air almost along already always animal another answer any apple arm around ask
away baby back bag ball bank bath bear beautiful because bed before behind believe below bench better between big
bird black blood body book bottle bottom box boy break breakfast bridge bright bring brother brown brush build burn
bus business busy button buy cake call camera car card care carry cat chair change cheap cheese child church circle
city class clean clear clever clock close clothes cloud club coffee cold colour come computer cook corner country
course cousin cover cow cross cry cup cut dance daughter day deep desk different difficult dinner dirty doctor dog
doll dollar door double down draw dream dress drink drop dry duck during each ear early earth east easy eat egg
elephant empty engine enjoy enough evening ever every example eye face fall family famous far farm fast father
favourite feel few field film finger finish fish flag flask flat flower fly follow food foot football forest forget
fork friend frog from front fruit full funny game garden gas gather get girl give glad glass gold good goose gram
grass great green grey ground group grow guitar hair hall hammer happy hard hat have health hear heart heat heavy
help here high history hold hole holiday home horse hospital hot hotel hour house how hundredth hungry hurry husband
ice idea important inside interest island jacket job jump kind king kitchen kitten knock know lady lamp land language
large last laugh learn leave leg lesson letter library light like lion list listen little live long look lose lot
love low lunch machine magazine magic main make man many map marble mark's market marry match matter maybe meal mean
measure meat meet metal middle milk mind minute mirror mistake money monkey month moon morning mother mountain mouse
mouth move movie much music must nail name near neck need neighbour never new news nice night noise north nose
nothing now number nurse often oil old onion only open orange other our outside over page paint pair paper parent
park part party pass past path pay peace pen people perhaps person phone photo piano picture piece pig pilot pink
place plan plane plant plastic plate play please plenty pocket police poor possible post potato practice present
pretty price problem pull purple push put queen question quick quiet rabbit race radio rain ready reason record
remember repeat restaurant rice rich ride right ring river road rock roof room round rubber rule sad safe salt same
sand sandwich school science scissors screen sea seat second secret see sell send sentence serious shape share sharp
sheep sheet ship shirt shoe shop short should shoulder show shower sick side sign simple sing sister sit size skin
skirt sky sleep slow small smell smile smoke snow sock soft some son song soon sorry soup south space speak special
spend spoon sport spring square stairs stamp star station stay steal stick still stone stop storm story strange
street strong student study sugar summer sun sure surprise sweet swim table tail take talk tall taste taxi teacher
team tell tennis test than thank their there thick thin thing think third thousand through throw ticket tidy tiger
tight time tired today together tomorrow tonight tooth top touch towel tower town toy train travel tree trip trouble
trousers true try tube turn uncle under understand until upstairs useful usually valley vegetable very village visit
voice wait walk wall want warm wash watch weather week weigh welcome west wet what wheel where which while white why
wide wife wild win wind window winter wish woman wonder wood word work world worry write wrong yard year yellow
yesterday young
""".split()


def out_of_grammar(rng):
    """Speech that is not ours: (label, spelling) pairs; our own words inside it keep their labels."""
    kind = rng.random()
    if kind < 0.30:
        text = rng.choice(ROOM_TALK)
    elif kind < 0.62:
        pool = NEAR_MISSES if rng.random() < 0.5 else COMMON
        text = " ".join(rng.choice(pool) for _ in range(rng.choice([1, 1, 1, 2, 2, 3])))
    elif kind < 0.82:
        text = " ".join(rng.choice(COMMON) for _ in range(rng.randrange(3, 8)))
    else:
        # Our words inside a stranger's sentence.
        inner = " ".join(in_grammar(rng)) if rng.random() < 0.6 else rng.choice(LABELS[2:])
        before = " ".join(rng.choice(COMMON + NEAR_MISSES) for _ in range(rng.randrange(0, 4)))
        after = " ".join(rng.choice(COMMON + NEAR_MISSES) for _ in range(rng.randrange(0 if before else 1, 4)))
        return mixed(before, inner, after, rng)
    pairs = []
    for word in text.split():
        pairs.append((word if word in LABELS else GARBAGE, word))
    return merge_garbage(pairs)


def mixed(before, inner, after, rng):
    pairs = [(w if w in LABELS else GARBAGE, w) for w in before.split()]
    pairs += [(w, spell(w, rng)) for w in inner.split()]
    pairs += [(w if w in LABELS else GARBAGE, w) for w in after.split()]
    return merge_garbage(pairs)


def merge_garbage(pairs):
    merged = []
    for label, spelling in pairs:
        if merged and label == GARBAGE and merged[-1][0] == GARBAGE:
            merged[-1] = (GARBAGE, merged[-1][1] + " " + spelling)
        else:
            merged.append((label, spelling))
    return merged


def sentence(rng):
    """One sentence of the training mix."""
    kind = rng.random()
    if kind < 0.60:
        return [(w, spell(w, rng)) for w in in_grammar(rng)]
    if kind < 0.75:
        return [(w, spell(w, rng)) for w in word_salad(rng)]
    return out_of_grammar(rng)


def text_of(pairs, rng):
    """What the synthesiser is given; now and then with a pause in it."""
    words = [spelling for _, spelling in pairs]
    if len(words) > 1 and rng.random() < 0.12:
        at = rng.randrange(1, len(words))
        words[at - 1] += ","
    return " ".join(words)


def labels_of(pairs):
    return [LABELS.index(label) for label, _ in pairs]


if __name__ == "__main__":
    r = random.Random(1)
    for _ in range(30):
        p = sentence(r)
        print(text_of(p, r), labels_of(p))
    print(len(LABELS))
