"""What voices are made to say: the phrasebook's requests, numbers, and much that is no request."""

from __future__ import annotations

import random
import re
from dataclasses import dataclass

from coach.language.model import COUNT, NUMBER
from coach.language.phrasebook import Phrasebook
from coach.language.steps import Steps
from coach.language.understand import STITCH, normal
from coach.stitches.catalogue import catalogue

# Learned beside the phrasebook's: what people's recordings in the shared folder say. With these it is measured how
# people
# who were never heard are understood.
FURTHER = ("computer", "smart mirror", "view glass")
ALMOST = """
    yet yeah yesterday guess dress less mess chess jazz desk yes-sir know not nor nose snow now nobody no-one
    nothing low go throw stock shop top step stuff drop stopped stopping shot spot stomp bag bath pack bat beck
    black bank bake backs baking background pack-it neck necks nest text texts next-door next-week nicks annex goat
    ghost gold grow gone fault counter account county cow complete repeats heat deep under undone onto paws cause
    horse pours powers slow lower blower fast master pastor last flower loud cloud ladder quiet quite choir acquire
    help helped held hemp health yelp kelp note notes knot boat coat wrote mark marks market dark park remark
    groups grew stitches rich which stick ditch it's round ground sound brown crown pound found mound around start
    star smart heart art card far so-far away sofa sew how-many many men money where there wear were we're am I'm
    an him left lift leave laugh theft more door moor what white watch when who why say says day way play stay pays
    again against begin gain happy house bird cat dog tree three-year free true to too two-fold won one's want
    wonder for-you four-wheel five's dive fifth sixth sixty-fold heaven eleven-ish ate eight-ball line nine-pin
    tent ten-fold zoo hero please sorry thanks okay hello sure fine maybe never always open close wait turn light
    lights read red road row wrote reading recall record recipe recover carry carrier marry on own and end off of
    up cup down town right write bright front
""".replace("-", " ").split()
LITTLE = """
    the of and to in is you that it he was for on are as with his they at be this have from or had by word but not
    what all were we when your can said there use an each which she do how their if will up other about out many
    then them these so some her would make like him into time has look more see way could people my than first
    water been call who oil its now find long down day did get come made may part over new sound take only little
    work know place year live me give most very after thing our just name good man think great much before line
    mean old any same tell boy follow came want show also around form small set put does another well large must
    big even such because here why ask went need land home us move try kind hand picture change play air animal
    letter mother answer study still learn should world coffee cup milk bread tea kitchen garden window table
    summer winter rain morning evening train ticket doctor music film phone cream sugar large hot cold medium shot
    roast marvin sheila wow bed
""".split()
TALK = """
    i think we should go to the shops before lunch | do you want to stop for a coffee on the way back | no i said
    yes to the other one | how many people are coming to dinner tonight | where am i supposed to put this | i have
    to go to work tomorrow | the start of the week is always busy | what can i say it was a good film | we are
    finished for today | carry on with your story | turn left and then right at the lights | she went up and down
    the stairs | count me in for friday | so far so good | can you turn that off | the round table stands by the
    window | i have two brothers and one sister | go back to bed | next week is fine with me | could you repeat
    that please | he runs much faster than me | it is getting louder outside | keep it a bit quieter please |
    slower cars stay on the left | let us pause for a moment and think | nine out of ten people say yes | there are
    seven days in a week | four hundred people came | twenty years ago we lived there | i am on my way | is the dog
    back yet | by now it should be done | say when | undo your seat belt | the left one is mine | that is right |
    two or three of them | one more time for luck | help yourself to some cake | i could not help laughing | what
    is for dinner | what is the time | what is she wearing | the seals are back on the harbour wall | a puffin flew
    round the lighthouse | did you hear the buoy ring last night | the boat stopped near the pier | next to the
    bakery there is a yarn shop | my wool came back from the wash | read this letter to me | we are where we were |
    start it again tomorrow | stop it you two | no thank you i have had enough | yes of course i will | stitch up
    the hole in my sock | group the photos by year | please note that the shop closes at five | mark is coming
    round later | he marked the place on the map | go on then tell me | go on holiday in june | say it to her face
    | i said that again and again | speak to your sister | help me with this box please | how many more sleeps | is
    this round yours or mine | the pattern is on the table | number ten is the house with the red door | a large
    coffee with milk please | make me a small espresso | could i have two sugars | i would like a latte to go | the
    computer is broken again | look at yourself in the mirror | a glass with a view of the sea
""".replace("\n", " ").split("|")
NAMES = """
    body head fin wing tail beak foot leg arm ear eye base roof lamp wall door rope border strap pocket middle left
    right front back
""".split()
PIECES = """
    go to | go to round | how many | how | count so | where am | where are | start of the | start | what can i |
    finished for | the round | i have | by | so far | can i say | am i | to round | say it | say that | carry |
    read this | this round | what is | what is a | speak | mark | stitch by | round by | me through | a moment |
    for now | again | that again | so many | please | thanks
""".replace("\n", " ").split("|")


@dataclass(frozen=True, slots=True)
class Line:
    """A text to be said. phrase: the class it belongs to ("" for none)."""

    text: str
    phrase: str = ""


def phrases(book: Phrasebook) -> dict[str, str]:
    """Every phrase that a class is made for, with the name of its request: phrases of one request do the same."""
    found: dict[str, str] = {}
    for heard in book.request:
        found.update((phrase, f"{heard.name} {heard.value or ''}".strip()) for phrase in heard.say)
    found.update((phrase, "choose") for phrase in book.choose if not phrase.startswith("<"))
    for phrase in FURTHER:
        found.setdefault(phrase, phrase)
    return found


def class_of(text: str, classes: tuple[str, ...]) -> str:
    """The class of a text, its blanks filled in; "" for none."""
    if text in classes:
        return text
    return next((one for one in classes if "<" in one and re.fullmatch(re.sub(r"<\w+>", ".+", one), text)), "")


def stitch_names(book: Phrasebook) -> tuple[str, ...]:
    steps = Steps(book, "US")
    return tuple(dict.fromkeys(normal(steps.name(stitch.id)) for stitch in catalogue().stitch))


def number_words(book: Phrasebook) -> tuple[str, ...]:
    """The numbers of one word: each is a class too."""
    return (*book.number.units, *book.number.tens)


def words(book: Phrasebook) -> tuple[str, ...]:
    """Every word of requests and numbers, in order."""
    said = [*phrases(book), *stitch_names(book), *number_words(book), "a hundred and", book.number.oh]
    return tuple(sorted({word for phrase in said for word in phrase.split() if not word.startswith("<")}))


class Sayings:
    """Lines at random, as `dice` (a seeded random.Random) will have it."""

    def __init__(self, book: Phrasebook, dice: random.Random) -> None:
        self._book, self._dice = book, dice
        self._phrases, self._numbers = tuple(phrases(book)), number_words(book)
        self._stitches = stitch_names(book)
        told = (form for said in book.say.values() for form in (said.values() if isinstance(said, dict) else (said,)))
        self.coach = [
            normal(text.replace("{", " ").replace("}", " ")).replace("<", "").replace(">", "") for text in told
        ]

    def number(self, highest: int = 199) -> str:
        return self._dice.choice(list(self._book.number.spoken(self._dice.randint(1, highest))))

    def request(self, phrase: str) -> Line:
        """A phrase of a class, its number and its stitch filled in."""
        return Line(re.sub(r"<\w+>", lambda blank: self._filled(blank[0]), phrase), phrase)

    def _filled(self, blank: str) -> str:
        if blank in (STITCH, "<lesson>"):
            return self._dice.choice(self._stitches)
        if blank == "<task>":
            return self._dice.choice(tuple(self._book.task))
        if blank in (NUMBER, COUNT):
            return self.number(self._dice.choice((12, 45, 199)))
        return " ".join(self._dice.choices(NAMES, k=self._dice.randint(1, 2)))

    def requests(self, times: int) -> list[Line]:
        """Every phrase `times` times (those with numbers and stitches four times as often, short ones twice), and
        numbers."""
        found = []
        for phrase in self._phrases:
            often = 5 if NUMBER in phrase or COUNT in phrase else 3 if "<" in phrase else 2 if len(phrase) < 6 else 1
            found += [self.request(phrase) for _ in range(times * often)]
        found += [Line(word, word) for word in self._numbers for _ in range(times)]
        return found + [self._any_number() for _ in range(times * 10)]

    def _any_number(self) -> Line:
        text = self.number(self._dice.choice((45, 99, 199)))
        return Line(text, text if text in self._numbers else NUMBER)

    def other(self) -> Line:
        """Something that is no request."""
        dice = self._dice
        kind = dice.random()
        if kind < 0.32:
            text = dice.choice(ALMOST)
        elif kind < 0.5:
            text = " ".join(dice.choices(ALMOST + LITTLE, k=dice.randint(2, 5)))
        elif kind < 0.62:
            text = " ".join(dice.choices(LITTLE, k=dice.randint(3, 9)))
        elif kind < 0.8:
            text = dice.choice(TALK).strip()
        elif kind < 0.88:
            text = dice.choice(PIECES).strip()
        elif kind < 0.94:  # a request inside of a sentence
            before, inside = dice.choices(LITTLE, k=2), self.request(dice.choice(self._phrases)).text
            text = " ".join([*before, inside, *dice.choices(LITTLE, k=2)])
        else:
            text = dice.choice(self.coach)
        return Line("" if self._is_request(text) else text)

    def _is_request(self, text: str) -> bool:
        return text in self._phrases or text in self._numbers
