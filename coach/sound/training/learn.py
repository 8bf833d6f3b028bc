"""Training the head: from streams to weights."""

from __future__ import annotations

import random
import time
from dataclasses import dataclass

import numpy as np
import torch
from torch.nn import functional

from coach.sound.embedding import SIZE, STEP, frame_at
from coach.sound.training.dataset import Stream
from coach.sound.training.network import Head

IGNORED = -100
FRAME = STEP / 16_000  # seconds
HEARD_FOR = 5  # frames after its end in which a phrase is told
BATCH = 24  # streams


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The outputs: number 0 is "nothing" in both."""

    words: dict[str, int]
    phrases: dict[str, int]

    @classmethod
    def of(cls, words: tuple[str, ...], phrases: tuple[str, ...]) -> Vocabulary:
        return cls({word: n for n, word in enumerate(words, 1)}, {phrase: n for n, phrase in enumerate(phrases, 1)})


@dataclass(frozen=True, slots=True)
class Example:
    """A stream with what the outputs should be. spans: (first frame, last, words); phrases: a class for each frame."""

    features: np.ndarray
    spans: tuple[tuple[int, int, tuple[int, ...]], ...]
    phrases: np.ndarray


def example(stream: Stream, vocabulary: Vocabulary) -> Example:
    count = len(stream.features)
    phrases = np.zeros(count, np.int64)
    spans = []
    for item in stream.items:
        first = max(0, int(np.floor(frame_at(item.start))) + 1)
        last = min(count, int(np.ceil(frame_at(item.end + 0.45))))
        if not item.is_talk and item.text:
            told = tuple(vocabulary.words.get(word, 0) for word in item.text.split())
            if all(told) and last - first > len(told):
                spans.append((first, last, told))
        if item.phrase:
            phrases[first : last + 4] = IGNORED
            after = max(0, int(np.ceil(frame_at(item.end + 0.04))))
            phrases[after : after + HEARD_FOR] = vocabulary.phrases.get(item.phrase, IGNORED)
    return Example(stream.features.astype(np.float32), tuple(spans), phrases)


def learn(
    streams: list[Stream],
    vocabulary: Vocabulary,
    *,
    epochs: int,
    seed: int = 0,
    device: str = "cpu",
    people_count: int = 1,
    width: int = 128,
    tell=print,
) -> Head:
    """A head that has learned these streams. people_count: how often streams of people are seen in an epoch; width: of
    the network."""
    torch.manual_seed(seed)
    dice = random.Random(seed)
    streams = [one for one in streams for _ in range(people_count if one.fold >= 0 and len(one.items) > 2 else 1)]
    examples = [example(stream, vocabulary) for stream in streams]
    head = Head(len(vocabulary.words), len(vocabulary.phrases), width)
    sample = np.concatenate([one.features for one in examples[::7]])
    head.mean.copy_(torch.tensor(sample.mean(0)))
    head.spread.copy_(torch.tensor(sample.std(0)))
    head.to(device)
    best = torch.optim.AdamW(head.parameters(), lr=3e-3, weight_decay=0.01)
    steps = epochs * (len(examples) // BATCH + 1)
    plan = torch.optim.lr_scheduler.OneCycleLR(best, 3e-3, total_steps=steps, pct_start=0.15)
    began = time.monotonic()
    for epoch in range(epochs):
        order = sorted(range(len(examples)), key=lambda n: len(examples[n].features) + dice.random() * 60)
        batches = [order[at : at + BATCH] for at in range(0, len(order), BATCH)]
        dice.shuffle(batches)
        head.train()
        sums = np.zeros(2)
        for batch in batches:
            losses = _losses(head, [examples[n] for n in batch], device)
            best.zero_grad()
            (losses[0] + 0.7 * losses[1]).backward()
            torch.nn.utils.clip_grad_norm_(head.parameters(), 2.0)
            best.step()
            plan.step()
            sums += [float(loss.detach()) for loss in losses]
        if epoch % 5 == 4 or epoch == epochs - 1:
            tell(
                f"  epoch {epoch + 1}: words {sums[0] / len(batches):.3f}, phrases {sums[1] / len(batches):.3f}, "
                f"{time.monotonic() - began:.0f} s"
            )
    return head.eval().cpu()


def _losses(head: Head, batch: list[Example], device: str) -> tuple[torch.Tensor, torch.Tensor]:
    longest = max(len(one.features) for one in batch)
    x = np.zeros((len(batch), longest, SIZE), np.float32)
    y = np.full((len(batch), longest), IGNORED)
    silent = np.zeros((len(batch), longest), np.float32)  # where no word may be told
    spans = []
    for row, one in enumerate(batch):
        count = len(one.features)
        x[row, :count], y[row, :count], silent[row, :count] = one.features, one.phrases, 1
        for first, last, told in one.spans:
            spans.append((row, first, last, told))
            silent[row, first:last] = 0
    features = torch.tensor(x, device=device)
    features = features + torch.randn_like(features) * 0.15 * head.spread
    features = features * (torch.rand(len(batch), 1, SIZE, device=device) > 0.05)
    words, phrases = head(features)
    return _word_loss(words.log_softmax(-1), spans, torch.tensor(silent, device=device)), _phrase_loss(
        phrases, torch.tensor(y, device=device)
    )


def _word_loss(words: torch.Tensor, spans: list, silent: torch.Tensor) -> torch.Tensor:
    blank = -(words[:, :, 0] * silent)
    loss = 4 * blank.sum() / silent.sum() + 0.5 * blank.reshape(-1).topk(64)[0].mean()
    if spans:
        longest = max(last - first for _, first, last, _ in spans)
        parts = torch.stack(
            [
                functional.pad(words[row, first:last], (0, 0, 0, longest - (last - first)))
                for row, first, last, _ in spans
            ],
            1,
        )
        lengths = torch.tensor([len(told) for *_, told in spans])
        each = functional.ctc_loss(
            parts.cpu(),
            torch.tensor([word for *_, told in spans for word in told]),
            torch.tensor([last - first for _, first, last, _ in spans]),
            lengths,
            reduction="none",
            zero_infinity=True,
        )
        loss = loss + (each / lengths**0.5).sum().to(words.device) / len(spans)
    return loss


def _phrase_loss(phrases: torch.Tensor, wanted: torch.Tensor) -> torch.Tensor:
    each = functional.cross_entropy(
        phrases.reshape(-1, phrases.shape[-1]), wanted.reshape(-1), ignore_index=IGNORED, reduction="none"
    )
    said, nothing = (wanted > 0).reshape(-1), (wanted == 0).reshape(-1)
    loss = 3 * each[nothing].mean() + 0.3 * each[nothing].topk(64)[0].mean()
    return loss + each[said].mean() if said.any() else loss
