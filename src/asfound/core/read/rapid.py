"""A general text reader as engine: the recogniser inside the `rapidocr` package, run by `onnxruntime` on one core.

Both come from the package index and are optional. The model lies inside the wheel: nothing is fetched, and of
`rapidocr` nothing but that file is used. Only the digits' columns of its answer are used, so "O" and "l" cannot win
over 0 and 1, but where it would rather say a letter the confidence is low.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from importlib import import_module, metadata
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from asfound.core.read.engine import Recognised, RgbArray
from asfound.errors import MissingLibrary

_HIGH_PX, _WIDE_PX = 48, 144
_BATCH = 8
_REMEDY = 'pip install --upgrade "asfound[read]", or go on without it.'


class RapidEngine:
    """Reads crops with the recogniser of `rapidocr`.

    Raises
    ------
    MissingLibrary
        If `rapidocr` or `onnxruntime` is not installed, or holds no model for reading.
    """

    name = "rapidocr"

    def __init__(self) -> None:
        self._session, self._columns = _load()

    def recognise(self, crops_rgb: Sequence[RgbArray]) -> list[Recognised]:
        """Read each crop; see `NumberEngine`."""
        answers: list[Recognised] = []
        for start in range(0, len(crops_rgb), _BATCH):
            batch = np.stack([_blob(crop) for crop in crops_rgb[start : start + _BATCH]])
            answers.extend(self._decode(rows) for rows in self._session.run(None, {"x": batch})[0])
        return answers

    def _decode(self, rows: NDArray[np.float32]) -> Recognised:
        chosen = rows[:, self._columns]
        best, sure = chosen.argmax(1), chosen.max(1)
        text, certain, before = "", [], 0
        for label, probability in zip(best.tolist(), sure.tolist(), strict=True):
            if label and label != before:
                text += str(label - 1)
                certain.append(probability)
            elif label:
                certain[-1] = max(certain[-1], probability)
            else:
                # Neither a digit nor nothing: a letter stands here.
                certain.append(min(1.0, 2 * probability))
            before = label
        return Recognised(text, float(min(certain)) if text else 0.0)


def _blob(crop_rgb: RgbArray) -> NDArray[np.float32]:
    enlarged = cv2.resize(crop_rgb[..., ::-1], (_WIDE_PX, _HIGH_PX), interpolation=cv2.INTER_CUBIC)
    return np.asarray(enlarged.transpose(2, 0, 1) / 127.5 - 1, np.float32)


@functools.cache
def _load() -> tuple[Any, list[int]]:
    try:
        runtime = import_module("onnxruntime")
        files = metadata.files("rapidocr") or []
    except ImportError as error:
        raise MissingLibrary(
            'The second reader of tape numbers is not installed: pip install "asfound[read]", or go on without it.'
        ) from error
    models = [file for file in files if file.match("models/*rec*.onnx")]
    if not models:
        raise MissingLibrary(f"The installed rapidocr brings no model for reading: {_REMEDY}")
    options = runtime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    options.log_severity_level = 3
    session = runtime.InferenceSession(models[0].read_binary(), options, providers=["CPUExecutionProvider"])
    characters = session.get_modelmeta().custom_metadata_map.get("character", "").splitlines()
    if any(digit not in characters for digit in "0123456789"):
        raise MissingLibrary(f"The installed rapidocr has a model of another kind: {_REMEDY}")
    return session, [0, *(characters.index(digit) + 1 for digit in "0123456789")]
