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
        layout = self._layout
        beliefs = np.empty_like(self._rows)
        separators = np.ones_like(self._messages)
        flat_weights = np.ascontiguousarray(weights.reshape(len(weights), -1).T)
        piece_logs = self._piece_logs.copy()
        if layout.forest.gathering < 0:
            with np.errstate(divide="ignore"):
                piece_logs[-1] += np.log(flat_weights[0])
        for block in reversed(layout.blocks):
            messages, scales = self._messages[block.messages], self._scales[block.scales]
            if block.cliques[0] == layout.forest.gathering:
                weighed = messages * flat_weights
                total = weighed.sum(axis=0)
                with np.errstate(divide="ignore"):
                    piece_logs[layout.forest.pieces[block.cliques[0]]] += np.log(total)
                separators[block.messages] = weighed / np.maximum(total, TINY)
            elif layout.forest.above[block.cliques[0]] >= 0:
                separators[block.messages] = drawn_down(layout, block, beliefs)
            sent = messages.reshape(block.separator, len(block.cliques), -1) * scales
            # Nothing above can stand where nothing below can.
            ratio = separators[block.messages] / np.maximum(sent.reshape(len(messages), -1), TINY)
            shape = (block.own, len(messages) * ratio.shape[1])
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
    terms, places = [logs], [pieces]
    for block in layout.blocks:
        if layout.is_wide(block.cliques[0]):
            fed = [(messages[layout.message_rows(clique)], positions) for clique, positions in block.wide_feeds]
            rows[block.rows] = inputs.wide(block.cliques[0], scaled, fed)
        elif block.feeds:
            _feed(layout, block, rows, messages, terms, places)
        table = rows[block.rows]
        sent = messages[block.messages]
        table.reshape(block.own, -1).sum(axis=0, out=sent.reshape(-1))
        by_clique = sent.reshape(block.separator, len(block.cliques), n_batch)
        scale = by_clique.max(axis=0)
        scales[block.scales] = np.maximum(scale, TINY, out=scale)
        by_clique /= scale
    piece_of = np.array([layout.forest.pieces[clique] for block in layout.blocks for clique in block.cliques], np.intp)
    terms.append(np.log(scales))
    places.append(piece_of)
    piece_logs = _by_piece(np.concatenate(terms), np.concatenate(places), max(piece_of, default=-1) + 2)
    with np.errstate(divide="ignore"):
        for clique, above in enumerate(layout.forest.above):
            if above < 0 and clique != layout.forest.gathering:
                piece_logs[layout.forest.pieces[clique]] += np.log(messages[layout.message_rows(clique)][0])
    root, log_scale = np.ones((n_batch, 1)), piece_logs.sum(axis=0)
    if layout.forest.gathering >= 0:
        root = messages[layout.message_rows(layout.forest.gathering)].T
    shape = tuple(layout.graph.sizes[variable] for variable in layout.graph.gathered)
    return Collected(root.reshape(n_batch, *shape), log_scale, layout, rows, messages, scales, piece_logs)


def _feed(
    layout: Layout,
    block: Block,
    rows: FloatArray,
    messages: FloatArray,
    terms: list[FloatArray],
    places: list[IntArray],
) -> None:
    """Multiply the messages from below into the tables of a block of small cliques."""
    table = rows[block.rows].reshape(block.own * block.separator, len(block.cliques), -1)
    for turn, feed in enumerate(block.feeds, start=1):
        fed = table[:, : feed.shape[1]]
        fed *= messages.take(feed, axis=0)
        if turn % RESCALE == 0:
            peak = np.maximum(fed.max(axis=0), TINY)
            fed /= peak
            terms.append(np.log(peak))
            places.append(np.array([layout.forest.pieces[clique] for clique in block.cliques[: len(peak)]], np.intp))


def _by_piece(terms: FloatArray, pieces: IntArray, length: int) -> FloatArray:
    """Sums of the terms of each piece, shape (length, n_batch)."""
    return np.array([np.bincount(pieces, column, length) for column in terms.T], np.float64).T.copy()
