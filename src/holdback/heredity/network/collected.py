"""The pass upwards, and the way down from it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from holdback.heredity.network.beliefs import drawn_down
from holdback.heredity.network.calibrated import Calibrated
from holdback.heredity.network.graph import FloatArray, IntArray
from holdback.heredity.network.inputs import RESCALE, TINY, Inputs
from holdback.heredity.network.layout import Block, Layout


@dataclass(frozen=True)
class Collected:
    """What all factors say of the first kept set, and the messages that lead there.

    Parameters
    ----------
    root : float array, shape (n_batch, sizes of the first kept set)
        Sum of the product of all factors over every other variable, by state of the kept set, up to `log_scale`.
        One number a problem where nothing is kept.
    log_scale : float array, shape (n_batch,)
        Natural logarithm of the true sum is ``log(root) + log_scale``.
    """

    root: FloatArray
    log_scale: FloatArray
    _layout: Layout
    _rows: FloatArray
    _messages: FloatArray
    _scales: FloatArray
    _piece_logs: FloatArray

    def distribute(self, weights: FloatArray) -> Calibrated:
        """Marginals and likelihood with the first kept set weighted.

        Parameters
        ----------
        weights : float array, shape (n_batch or 1, sizes of the first kept set)
            Factor on the kept set; ones change nothing. Without a kept set, one number a problem.

        Returns
        -------
        Calibrated
            As from a graph with `weights` among its factors.
        """
        assert len(weights) in {1, self._rows.shape[1]}, "one set of weights for each problem, or one for all"
        layout, gathering = self._layout, self._layout.forest.gathering
        beliefs = np.empty_like(self._rows)
        separators = np.ones_like(self._messages)
        piece_logs = self._piece_logs.copy()
        flat_weights = np.ascontiguousarray(weights.reshape(len(weights), -1).T)
        if gathering < 0:
            _add_log(piece_logs[-1], flat_weights[0])
        for block in reversed(layout.blocks):
            messages = self._messages[block.messages]
            if block.cliques[0] == gathering:
                weighed = messages * flat_weights
                total = weighed.sum(axis=0)
                _add_log(piece_logs[layout.forest.pieces[gathering]], total)
                separators[block.messages] = weighed / np.maximum(total, TINY)
            elif layout.forest.above[block.cliques[0]] >= 0:
                separators[block.messages] = drawn_down(layout, block, beliefs)
            sent = messages.reshape(block.separator, len(block.cliques), -1) * self._scales[block.scales]
            # Nothing above can stand where nothing below can.
            ratio = separators[block.messages] / np.maximum(sent.reshape(len(messages), -1), TINY)
            shape = (block.own, ratio.size)
            np.multiply(
                self._rows[block.rows].reshape(shape), ratio.reshape(-1), out=beliefs[block.rows].reshape(shape)
            )
        return Calibrated(layout, beliefs, separators, piece_logs)


def collect(layout: Layout, inputs: Inputs, flat: FloatArray) -> Collected:
    """Pass upwards over tables laid below one another, shape (n_entries, n_batch)."""
    n_batch = flat.shape[1]
    rows = np.empty((layout.n_rows, n_batch))
    messages = np.empty((layout.n_messages, n_batch))
    scales = np.empty((len(layout.lengths), n_batch))
    scaled, logs, pieces = inputs.load(flat, rows)
    terms = [(logs, pieces)]
    for block in layout.blocks:
        if layout.is_wide(block.cliques[0]):
            fed = [(messages[layout.message_rows(clique)], positions) for clique, positions in block.wide_feeds]
            rows[block.rows] = inputs.wide(block.cliques[0], scaled, fed)
        else:
            terms += _feed(layout, block, rows[block.rows], messages)
        sent = messages[block.messages]
        rows[block.rows].reshape(block.own, -1).sum(axis=0, out=sent.reshape(-1))
        by_clique = sent.reshape(block.separator, len(block.cliques), n_batch)
        scale = by_clique.max(axis=0)
        scales[block.scales] = np.maximum(scale, TINY, out=scale)
        by_clique /= scale
    terms.append((np.log(scales), layout.scale_pieces))
    piece_logs = _by_piece(terms, layout.scale_pieces.max(initial=-1) + 2)
    finished, pieces = layout.finished
    _add_log(piece_logs, messages[finished], pieces)
    root = np.ones((n_batch, 1))
    if layout.forest.gathering >= 0:
        root = messages[layout.message_rows(layout.forest.gathering)].T
    shape = tuple(layout.graph.sizes[variable] for variable in layout.graph.gathered)
    return Collected(root.reshape(n_batch, *shape), piece_logs.sum(axis=0), layout, rows, messages, scales, piece_logs)


def _feed(layout: Layout, block: Block, table: FloatArray, messages: FloatArray) -> list[tuple[FloatArray, IntArray]]:
    """Multiply the messages from below into the tables of a block of small cliques; logarithms taken out, and where."""
    by_clique = table.reshape(block.own * block.separator, len(block.cliques), -1)
    terms = []
    for turn, feed in enumerate(block.feeds, start=1):
        fed = by_clique[:, : feed.shape[1]]
        fed *= messages.take(feed, axis=0)
        if turn % RESCALE == 0:
            peak = np.maximum(fed.max(axis=0), TINY)
            fed /= peak
            cliques = block.cliques[: len(peak)]
            terms.append((np.log(peak), np.array([layout.forest.pieces[clique] for clique in cliques], np.intp)))
    return terms


def _by_piece(terms: list[tuple[FloatArray, IntArray]], length: int) -> FloatArray:
    """Sums of the terms of each piece, shape (length, n_batch)."""
    logs = np.concatenate([one for one, _ in terms])
    pieces = np.concatenate([one for _, one in terms])
    return np.array([np.bincount(pieces, column, length) for column in logs.T], np.float64).T.copy()


def _add_log(logs: FloatArray, chances: FloatArray, where: IntArray | slice = slice(None)) -> None:
    """Add the logarithm of chances, some of them zero, to some rows."""
    with np.errstate(divide="ignore"):
        logs[where] += np.log(chances)
