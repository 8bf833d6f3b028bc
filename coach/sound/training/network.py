"""The head while it learns: causal convolutions over embeddings, and two outputs (words with CTC, phrases)."""

from __future__ import annotations

import numpy as np
import torch
from torch import nn
from torch.nn import functional

from coach.sound.embedding import SIZE


class Head(nn.Module):
    """(batch, frames, SIZE) embeddings -> (batch, frames, 1 + words), (batch, frames, 1 + phrases), before softmax."""

    def __init__(
        self, words: int, phrases: int, width: int = 128, reaches: tuple[int, ...] = (1, 2, 4, 8), drop: float = 0.2
    ) -> None:
        super().__init__()
        self.reaches = reaches
        self.register_buffer("mean", torch.zeros(SIZE))
        self.register_buffer("spread", torch.ones(SIZE))
        self.first = nn.Conv1d(SIZE, width, 2)
        self.layers = nn.ModuleList(nn.Conv1d(width, width, 3, dilation=reach) for reach in reaches)
        self.norms = nn.ModuleList(nn.BatchNorm1d(width) for _ in range(len(reaches) + 1))
        self.drop = nn.Dropout(drop)
        self.words, self.phrases = nn.Linear(width, words + 1), nn.Linear(width, phrases + 1)

    def forward(self, embeddings: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        x = ((embeddings - self.mean) / self.spread).transpose(1, 2)
        x = functional.relu(self.norms[0](self.first(functional.pad(x, (1, 0)))))
        for layer, norm, reach in zip(self.layers, self.norms[1:], self.reaches):
            x = x + self.drop(functional.relu(norm(layer(functional.pad(x, (2 * reach, 0))))))
        x = self.drop(x.transpose(1, 2))
        return self.words(x), self.phrases(x)

    def weights(self) -> dict[str, np.ndarray]:
        """The arrays that coach.sound.head computes with; the normalisations are folded into the convolutions."""
        found = {"mean": self.mean, "spread": self.spread}
        for number, (layer, norm) in enumerate(zip([self.first, *self.layers], self.norms)):
            gain = norm.weight / torch.sqrt(norm.running_var + norm.eps)
            found[f"weight{number}"] = layer.weight * gain[:, None, None]
            found[f"bias{number}"] = (layer.bias - norm.running_mean) * gain + norm.bias
        for name, output in (("words", self.words), ("phrases", self.phrases)):
            found[f"{name}_weight"], found[f"{name}_bias"] = output.weight, output.bias
        return {name: value.detach().cpu().numpy().astype(np.float16) for name, value in found.items()}
