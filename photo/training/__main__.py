"""`python -m coaxtell.photo.training OUT`: renders, trains and writes the network, from one seed.

Renders on a GPU where there is one, else on the processor's cores (then with few pictures). A run that its time ended
goes on from its checkpoint. Metrics are JSON with the tables' check sum: on fresh scenes of the same renderer, and on
`--check` pictures that another renderer or a camera made. A machine without the program's packages takes `--shapes`,
the halves as `--write-shapes` wrote them elsewhere.
"""

from __future__ import annotations

import argparse
import ctypes
import json
import multiprocessing
import os
import time
from pathlib import Path
from typing import Any

import numpy as np
import torch

from coaxtell.photo.reading import SIDE, SURE, columns
from coaxtell.photo.training import photometry, render, scenes
from coaxtell.photo.training.network import Reader, loss

SHOWN = (5, 4, 6)
"""Parts whose pixels are counted: centre, plastic, coupling."""


def log(start: float, *words: object) -> None:
    print(f"[{time.time() - start:6.1f}]", *words, flush=True)


def rendered(
    engine: ctypes.CDLL, made: tuple[Any, Any, Any], size: int, samples: int, device: str, until: float
) -> dict[str, Any]:
    """Pictures in linear light as half floats, truth and pixel counts, as many as there was time for.

    Raises RuntimeError where the renderer stops.
    """
    lib, records, truth = made
    count = len(records)
    light = torch.empty(count, size, size, 3, dtype=torch.float16, device=device)
    counts = torch.zeros(count, 3, device=device)
    done = 0
    shapes = torch.from_numpy(np.ascontiguousarray(lib.rows)).to(device)
    for i in range(0, count, 256):
        part = records[i : i + 256]
        n = len(part)
        if device == "cuda":
            scene = torch.from_numpy(np.ascontiguousarray(part)).to(device)
            rgb = torch.empty(n, size, size, 3, device=device)
            parts = torch.empty(n, size, size, dtype=torch.uint8, device=device)
            where = [ctypes.c_void_p(t.data_ptr()) for t in (scene, shapes, rgb, parts)]
            status = engine.render(where[0], where[1], n, size, samples, where[2], where[3])
            if status:
                raise RuntimeError(f"the renderer stopped with status {status}")
        else:
            drawn, shown = render.pictures(engine, part, lib.rows, size, samples)
            rgb, parts = torch.from_numpy(drawn), torch.from_numpy(shown)
        light[i : i + n] = torch.nan_to_num(rgb).clamp(0, 40).half()
        counts[i : i + n] = torch.stack([(parts == p).sum((1, 2)) for p in SHOWN], 1).float()
        done = i + n
        if time.time() > until:
            break
    return {"light": light[:done], "truth": torch.from_numpy(truth[:done]).to(device), "counts": counts[:done]}


def scenes_for(shapes: list[Any], count: int, seed: int, cores: int) -> tuple[Any, Any, Any]:
    """Scenes from several libraries at once, joined into one."""
    share = max(1, count // cores)
    jobs = [(shapes, max(50, share // 8), share, seed + i) for i in range(cores)]
    with multiprocessing.Pool(cores) as pool:
        parts = pool.map(scenes.many, jobs)
    rows, records, truths, shapes_at = [], [], [], 0
    variants: list[Any] = []
    for lib, record, truth in parts:
        for i in range(scenes.COPIES):
            record[:, scenes.HEAD + i * scenes.COPY] += shapes_at
        rows.append(lib.rows)
        records.append(record)
        truths.append(truth)
        variants += lib.variants
        shapes_at += len(lib.rows)
    return (
        scenes.Library(np.concatenate(rows), np.zeros(0, np.int64), variants),
        np.concatenate(records),
        np.concatenate(truths),
    )


def checked(net: Any, x: Any, truth: dict[str, Any]) -> dict[str, Any]:
    """How well each look is read: share right over all readable, and over those the network is sure of."""
    at = columns()
    found: dict[str, Any] = {}
    with torch.no_grad():
        out = torch.cat([net(x[i : i + 512]).float() for i in range(0, len(x), 512)])
    for name, gate in (
        ("coupling", "coupling_visible"),
        ("centre", "centre_readable"),
        ("plastic", "plastic_readable"),
    ):
        known = truth[name] >= 0
        chance = out[:, at[name]].softmax(1)
        best, which = chance.max(1)
        open_ = torch.sigmoid(out[:, at[gate]][:, 0])
        right = which == truth[name].long()
        sure = known & (best > SURE) & (open_ > 0.5)
        row: dict[str, Any] = {
            "n": int(known.sum()),
            "right": float(right[known].float().mean()) if known.any() else None,
        }
        row["sure"] = float(sure.sum() / known.sum().clamp(min=1))
        row["right_when_sure"] = float(right[sure].float().mean()) if sure.any() else None
        row["by_class"] = {
            int(c): [int((known & (truth[name] == c)).sum()), float(right[known & (truth[name] == c)].float().mean())]
            for c in truth[name][known].unique()
        }
        found[name] = row
    face = torch.sigmoid(out[:, at["face"]][:, 0])
    none = truth["face"] == 0
    found["no_face_called_face"] = [int(none.sum()), float((face[none] > 0.5).float().mean()) if none.any() else None]
    yes = truth["face"] == 1
    found["face_called_face"] = [int(yes.sum()), float((face[yes] > 0.5).float().mean()) if yes.any() else None]
    return found


def _halves(path: Path | None) -> dict[str, Any]:
    """The halves with the check sum of their tables, from a file or from the tables themselves."""
    if path is not None:
        held: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        return held
    from coaxtell.models import tables
    from coaxtell.photo.training import shapes

    return shapes.all_of(tables.load())


def main() -> None:
    """Render, train, check, write."""
    parser = argparse.ArgumentParser(prog="coaxtell.photo.training")
    parser.add_argument("out", type=Path, help="folder for the checkpoint, the metrics and the weights")
    parser.add_argument("--shapes", type=Path, help="halves as --write-shapes wrote them")
    parser.add_argument("--write-shapes", type=Path, help="write the halves of the tables to this file, and end")
    parser.add_argument("--pictures", type=int, default=100_000)
    parser.add_argument("--side", type=int, default=144)
    parser.add_argument("--samples", type=int, default=40)
    parser.add_argument("--steps", type=int, default=9000)
    parser.add_argument("--batch", type=int, default=512)
    parser.add_argument("--render-seconds", type=float, default=170)
    parser.add_argument("--seconds", type=float, default=510, help="the whole run ends by then")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--check", type=Path, nargs="*", default=[], help=".npz: pictures (n, side, side, 3) and labels"
    )
    args = parser.parse_args()
    if args.write_shapes is not None:
        args.write_shapes.write_text(json.dumps(_halves(None)), encoding="utf-8")
        return
    start = time.time()
    args.out.mkdir(parents=True, exist_ok=True)
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(args.seed)
    held = _halves(args.shapes)
    shapes = held["halves"]
    engine = render.built(args.out, device == "cuda")
    log(start, "compiled for", device)
    cores = os.cpu_count() or 1
    made = scenes_for(shapes, args.pictures, 1000 * args.seed, cores)
    log(start, "scenes", made[1].shape, "shapes", made[0].rows.shape)
    data = rendered(engine, made, args.side, args.samples, device, time.time() + args.render_seconds)
    log(start, "rendered", len(data["light"]))
    fresh = rendered(
        engine, scenes_for(shapes, 3000, 900_000 + args.seed, cores), args.side, args.samples, device, time.time() + 30
    )
    log(start, "fresh", len(fresh["light"]))
    net = train(args, data, device, start)
    x, truth = photometry.photographed(fresh["light"], fresh["truth"], fresh["counts"])
    metrics: dict[str, Any] = {
        "tables": held["tables"], "pictures": len(data["light"]), "seed": args.seed, "fresh": checked(net, x, truth),
    }  # fmt: skip
    for path in args.check:
        shown = np.load(path)
        pictures = torch.from_numpy(shown["pictures"]).to(device).permute(0, 3, 1, 2).float() / 255
        labels = {
            name: torch.from_numpy(shown[name]).float().to(device) for name in ("face", "coupling", "centre", "plastic")
        }
        metrics[path.stem] = checked(net, pictures, labels)
    (args.out / "metrics.json").write_text(json.dumps(metrics, indent=1) + "\n", encoding="utf-8")
    print(json.dumps(metrics, indent=1))
    write_onnx(net, args.out / "reading.onnx")
    log(start, "written", (args.out / "reading.onnx").stat().st_size)


def train(args: argparse.Namespace, data: dict[str, Any], device: str, start: float) -> Any:
    """The network after its steps, its weights a running mean; ends early where time is short."""
    net = Reader().to(device).to(memory_format=torch.channels_last)
    kept = Reader().to(device)
    kept.load_state_dict(net.state_dict())
    rule = torch.optim.AdamW(net.parameters(), lr=3e-3, weight_decay=0.03)
    held = args.out / "checkpoint.pt"
    step = 0
    if held.exists():
        state = torch.load(held, map_location=device)
        for one in (net, kept):
            one.load_state_dict(state["kept"])
        step = state["step"]
        log(start, "goes on at step", step)
    ends = start + args.seconds - 25
    paced, paced_at, first = time.time(), step, step
    total = args.steps
    while step < total:
        if step in (first + 60, first + 400):  # how many steps there is time for; the first ones are slow
            pace = (time.time() - paced) / (step - paced_at)
            total = min(args.steps, step + int((ends - time.time()) / pace))
            log(start, f"{1 / pace:.1f} steps a second, {total} in all")
        if step == first + 60:
            paced, paced_at = time.time(), step
        rate = 3e-3 * min(1, (step + 1) / 200) * 0.5 * (1 + np.cos(np.pi * min(1, step / total)))
        for group in rule.param_groups:
            group["lr"] = rate + 1e-6
        pick = torch.randint(len(data["light"]), (args.batch,), device=device)
        x, truth = photometry.photographed(data["light"][pick], data["truth"][pick], data["counts"][pick])
        with torch.autocast(device, dtype=torch.bfloat16, enabled=device == "cuda"):
            out = net(x.to(memory_format=torch.channels_last))
        wrong = loss(out.float(), truth)
        rule.zero_grad(set_to_none=True)
        wrong.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 5.0)
        rule.step()
        step += 1
        blend = min(0.998, 1 - 1 / (step + 1))
        with torch.no_grad():
            for mean, now in zip(kept.state_dict().values(), net.state_dict().values(), strict=True):
                mean.copy_(mean * blend + now * (1 - blend) if mean.dtype.is_floating_point else now)
        if step % 500 == 0:
            log(start, step, f"{float(wrong):.3f}")
        if time.time() > ends:
            break
    half = {name: value.half() if value.dtype.is_floating_point else value for name, value in kept.state_dict().items()}
    torch.save({"kept": half, "step": step}, held)
    return kept.eval()


def write_onnx(net: Any, path: Path) -> None:
    """The network as ONNX with its weights in half precision, cast back as it is loaded."""
    import onnx
    from onnx import TensorProto, helper, numpy_helper

    whole = Reader()
    whole.load_state_dict({name: value.cpu() for name, value in net.state_dict().items()})
    torch.onnx.export(
        whole.eval(), (torch.zeros(1, 3, SIDE, SIDE),), str(path), input_names=["picture"], output_names=["logits"],
        dynamic_axes={"picture": {0: "n"}, "logits": {0: "n"}}, opset_version=17, dynamo=False,
    )  # fmt: skip
    model = onnx.load(str(path))
    casts = []
    for weights in list(model.graph.initializer):
        values = numpy_helper.to_array(weights)
        if values.dtype == np.float32 and values.size > 64:
            name = weights.name
            model.graph.initializer.remove(weights)
            model.graph.initializer.append(numpy_helper.from_array(values.astype(np.float16), f"{name}.half"))
            casts.append(helper.make_node("Cast", [f"{name}.half"], [name], to=TensorProto.FLOAT))
    nodes = [*casts, *model.graph.node]
    del model.graph.node[:]
    model.graph.node.extend(nodes)
    onnx.save(model, str(path))


if __name__ == "__main__":
    main()
