"""Write the trained network for OpenCV: python tests/bench/points_export.py points.pt points.onnx. Needs torch."""

from __future__ import annotations

import sys

import torch
from points_net import PointsNet

OPSET = 17


def main() -> None:
    state = torch.load(sys.argv[1], map_location="cpu")
    net = PointsNet().eval()
    net.load_state_dict(
        {n.removeprefix("net."): t.float() if t.is_floating_point() else t for n, t in state.items() if n[:4] == "net."}
    )
    torch.onnx.export(
        net,
        (torch.zeros(1, 2, 480, 640),),
        sys.argv[2],
        opset_version=OPSET,
        dynamo=False,
        input_names=["x"],
        output_names=["described", "points", "extra"],
        dynamic_axes={"x": {2: "high", 3: "wide"}},
    )


if __name__ == "__main__":
    main()
