# SPDX-License-Identifier: Apache-2.0
"""Going on from a shipped network, whose batch norms are folded into its convolutions."""
import torch

from export import read_safetensors


def start_from(net, path):
    """Gives `net` the weights in `path`, which another fit wrote (what it lacks stays) or which is shipped; whether it is shipped."""
    shipped = path.endswith(".safetensors")
    if shipped:
        weights, _ = read_safetensors(path)
        unfold(net, {name: value for name, value in weights.items() if not name.endswith((".reach", ".usual"))})
    else:
        net.load_state_dict({**net.state_dict(), **torch.load(path, map_location="cpu")})
    return shipped


def unfold(net, weights):
    """Puts folded weights into `net`: its batch norms, as yet, only add what the file has for a bias."""
    own = net.state_dict()
    for name, value in weights.items():
        norm = name[:-len("0.bias")] + "1." if name.endswith("0.bias") else None
        if norm and norm + "running_mean" in own:
            own[norm + "bias"] = value
            own[norm + "weight"] = torch.ones_like(value)
            own[norm + "running_mean"] = torch.zeros_like(value)
            own[norm + "running_var"] = torch.full_like(value, 1 - 1e-5)  # the norm adds that much
        else:
            own[name] = value
    net.load_state_dict(own)
    return net


@torch.no_grad()
def lay_norms(net, run, batches=12):
    """Sets batch norms to what `run()`, which shows the net a batch, has them see, and their weights so that its answers stay."""
    norms = [m for m in net.modules() if isinstance(m, torch.nn.BatchNorm2d)]
    before = [(m.weight / (m.running_var + m.eps).sqrt(), m.bias - m.running_mean * m.weight / (m.running_var + m.eps).sqrt()) for m in norms]
    seen = {}

    def note(norm, inputs):
        maps = inputs[0].float()
        seen.setdefault(norm, []).append(torch.stack([maps.mean((0, 2, 3)), maps.pow(2).mean((0, 2, 3))]))

    hooks = [m.register_forward_pre_hook(note) for m in norms]
    net.eval()
    for _ in range(batches):
        run()
    net.train()
    for hook in hooks:
        hook.remove()
    for norm, (scale, shift) in zip(norms, before):
        mean, square = torch.stack(seen[norm]).mean(0)
        norm.running_mean.copy_(mean)
        norm.running_var.copy_((square - mean ** 2).clamp(min=1e-4))
        norm.weight.copy_(scale * (norm.running_var + norm.eps).sqrt())
        norm.bias.copy_(shift + mean * scale)
