"""From what was played to what is said of it."""

from __future__ import annotations

import numpy as np

from holdback.decisions.rehearsal.failing import FAILURES, Failure
from holdback.decisions.rehearsal.play import Played
from holdback.decisions.rehearsal.result import FAN, Rehearsal, Season, Spread, StepUse, share_reached
from holdback.decisions.rehearsal.setting import Costs, Setting


def rehearsal_of(setting: Setting, played: Played, *, seed: int, year: int, notes: tuple[str, ...]) -> Rehearsal:
    """What some runs say.

    Parameters
    ----------
    setting : Setting
        What they had in common.
    played : Played
        Runs.
    seed, year : int
        Seed; year of season 0.
    notes : tuple of str
        What the numbers rest on.
    """
    spreads = {
        "seasons": played.reached,
        "eggs": played.eggs.sum(axis=1),
        "clutches": played.clutches.sum(axis=1),
        "kept": played.kept.sum(axis=(1, 2)),
    }
    told = {name: Spread.of(values) for name, values in spreads.items()}
    assert all(one is not None for one in told.values()), "there are runs"
    has_line = bool(setting.share.any())
    return Rehearsal(
        runs=len(played.reached),
        seed=seed,
        year=year,
        wished=setting.wished,
        reached_by_season=tuple(share_reached(played.reached <= season) for season in range(setting.seasons)),
        fan=np.quantile(played.goals, FAN, axis=0).T,
        **told,  # type: ignore[arg-type]
        money=Spread.of(played.money) if setting.costs != Costs() else None,
        share=Spread.of(played.goal_share) if has_line else None,
        true_share=Spread.of(played.goal_true_share) if has_line else None,
        size=Spread.of(played.goal_value) if setting.additive_sd > 0.0 else None,
        inbreeding=Spread.of(played.goal_inbreeding),
        failures=_failures(played),
        steps=_steps(setting, played),
        history=_history(setting, played, year),
        season_of_run=played.reached,
        notes=notes,
    )


def _failures(played: Played) -> dict[Failure, float]:
    counts = np.bincount(played.failure[played.failure >= 0], minlength=len(FAILURES)).tolist()
    found = {reason: count / len(played.failure) for reason, count in zip(FAILURES, counts, strict=True) if count}
    return dict(sorted(found.items(), key=lambda one: -one[1]))


def _steps(setting: Setting, played: Played) -> tuple[StepUse, ...]:
    return tuple(
        StepUse(
            number=number,
            tried=float((played.tried[:, number] > 0).mean()),
            pairings=float(played.tried[:, number].mean()),
            clutches=float(played.laid[:, number].mean()),
            kept=float(played.kept[:, number].sum(axis=1).mean()),
        )
        for number in range(setting.n_steps)
    )


def _history(setting: Setting, played: Played, year: int) -> tuple[Season, ...]:
    return tuple(
        Season(
            year=year + season,
            eggs=float(played.eggs[:, season].mean()),
            clutches=float(played.clutches[:, season].mean()),
            tubs=float(played.tubs[:, season].mean()),
            tubs_high=float(np.quantile(played.tubs[:, season], 0.95)),
        )
        for season in range(setting.seasons)
    )
