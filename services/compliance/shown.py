"""Loads and stresses of a screening as the job's paper shows them.

The sums are done in pounds and inches, in which the wood values are published; a metric job
reads the same figures in kilonewtons, millimetres and megapascals.

Source:
    1 lbf is 4.4482216152605 N and 1 in is 25.4 mm exactly (NIST SP 811, appendix B; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

NEWTONS_A_POUND = 4.4482216152605
_MM_AN_INCH = 25.4
_KPA_A_PSI = NEWTONS_A_POUND / _MM_AN_INCH**2 * 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One way of showing them."""

    metric: bool
    """Whether the job's paper is in millimetres."""

    def force(self, pounds: float, *, bears: bool = False) -> str:
        """A force asked of something, rounded up; one that something bears, down."""
        if self.metric:
            return f"{_worse(pounds * NEWTONS_A_POUND / 1000, 2, bears=bears):.2f} kN"
        return f"{_worse(pounds, 0, bears=bears):,.0f} lb"

    def stress(self, psi: float, *, bears: bool = False) -> str:
        """A stress, likewise."""
        if self.metric:
            return f"{_worse(psi * _KPA_A_PSI / 1000, 2, bears=bears):.2f} MPa"
        return f"{_worse(psi, 0, bears=bears):,.0f} psi"

    def size(self, inches: float) -> str:
        """A bolt spacing or a height that is named, not measured."""
        return f"{inches * _MM_AN_INCH:.0f} mm" if self.metric else f"{inches:g} in"

    def bending(self, *, load: float, lever: float, core: float, stress: float) -> str:
        """The sum of a bending stress, a square post.

        Args:
            load: [lb]
            lever: [in]
            core: Side of the post. [in]
            stress: What it comes to. [psi]
        """
        moment, modulus = load * lever, core**3 / 6
        if self.metric:
            newton_mm = NEWTONS_A_POUND * _MM_AN_INCH
            return (
                f"M = {self.force(load)} x {lever * _MM_AN_INCH:.1f} mm = "
                f"{_worse(moment * newton_mm / 1e6, 3):.3f} kN m; "
                f"S = {core * _MM_AN_INCH:.1f}^3 / 6 = {modulus * _MM_AN_INCH**3:,.0f} mm3; "
                f"fb = {self.stress(stress)}"
            )
        return (
            f"M = {round(load, 1):g} lb x {lever:.2f} in = {_worse(moment, 0):,.0f} in-lb; "
            f"S = {core:.3f}^3 / 6 = {modulus:.2f} in3; fb = {self.stress(stress)}"
        )

    def tension(self, *, load: float, lever: float, apart: float, tension: float) -> str:
        """The sum of a top bolt's tension.

        Args:
            load: [lb]
            lever: From the top bolt up to the load. [in]
            apart: Between the bolts. [in]
            tension: What it comes to. [lb]
        """
        if self.metric:
            up, between = lever * _MM_AN_INCH, apart * _MM_AN_INCH
            return (
                f"T = P (H + s) / s = {self.force(load)} x ({up:.1f} + {between:.1f}) "
                f"/ {between:.1f} = {self.force(tension)}"
            )
        return (
            f"T = P (H + s) / s = {round(load, 1):g} x ({lever:.2f} + {apart:.3f}) "
            f"/ {apart:.3f} = {self.force(tension)}"
        )


def share(asked: float, *, of: float) -> str:
    """What is asked as a share of what something bears, rounded up."""
    return f"{_worse(asked / of, 3):.3f}"


def _worse(figure: float, digits: int, *, bears: bool = False) -> float:
    """To so many digits, never smaller than what is asked nor larger than what is borne."""
    marks = float(10**digits)
    whole = round(figure * marks, 6)
    return (floor(whole) if bears else ceil(whole)) / marks
