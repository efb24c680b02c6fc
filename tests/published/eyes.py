"""Eyes that tell fewer colours apart, and parts of a picture against what lies beside them."""

from mosaiclib.drawing.eyes import eye_matrix
from mosaiclib.lessons.w05_eyes import told_of_joints

from .records import listed, turning

# lines of the matrices as printed, by eyes and severity
MATRICES = {
    ("eyes weak in red", 0.5): "0.458064 0.679578 -0.137642 0.092785 0.846313 0.060902 -0.007494 -0.016807 1.024301",
    ("eyes weak in red", 1.0): "0.152286 1.052583 -0.204868 0.114503 0.786281 0.099216 -0.003882 -0.048116 1.051998",
    ("eyes weak in green", 0.5): "0.547494 0.607765 -0.155259 0.181692 0.781742 0.036566 -0.010410 0.027275 0.983136",
    ("eyes weak in green", 1.0): "0.367322 0.860646 -0.227968 0.280085 0.672501 0.047413 -0.011820 0.042940 0.968881",
    ("eyes weak in blue", 1.0): "1.255528 -0.076749 -0.178779 -0.078411 0.930809 0.147602 0.004733 0.691367 0.303900",
}
MACHADO = listed(
    "other eyes",
    "Machado, Oliveira and Fernandes, IEEE Transactions on Visualization and Computer Graphics 15 (2009) 1291-1298",
    "matrices by severity",
    "read second-hand",  # in the code of several public repositories, which agree
    "",
    [
        (
            f"{eyes}, {share:.0%}, line {k // 3 + 1}, place {k % 3 + 1}",
            printed,
            lambda e=eyes, s=share, k=k: eye_matrix(e, s).flat[k],
        )
        for (eyes, share), matrix in MATRICES.items()
        for k, printed in enumerate(matrix.split())
    ],
)


NON_TEXT = listed(
    "contrast",
    "Web Content Accessibility Guidelines 2.1",
    "1.4.11 Non-text contrast: 3 to 1 against adjacent colours",
    "read second-hand",
    "to 1",
    [
        (
            "joints stand out from",
            "3.0",
            lambda: turning(lambda ratio: told_of_joints(ratio) == "joints stand out", 1.0, 21.0),
        )
    ],
)
CHECKS = (*MACHADO, *NON_TEXT)
