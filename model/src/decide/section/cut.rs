//! Minimum cut between a source and a sink by maximum flow, in whole numbers and so exact.
//!
//! Shortest augmenting paths (Edmonds and Karp, 1972) on a matrix: the graphs have a few dozen nodes, whose sets are the
//! bits of one number. Knows no cells.

/// A capacity that no cut can afford.
pub const ENDLESS: u64 = 1 << 60;
/// Most nodes of a graph.
pub const NODES_MAX: usize = 128;

/// The least capacity that parts `source` from `sink`, and the nodes that lie with the source, by bit. Of several least
/// cuts the one with the fewest nodes at the source. Arcs are `(from, to, capacity)`; those with the same ends add up. A
/// value of [`ENDLESS`] or more says that nothing affordable parts them; the nodes then mean nothing.
///
/// # Panics
/// Where there are more than [`NODES_MAX`] nodes, or an arc names one that is not below `nodes`.
pub fn minimum_cut(nodes: usize, arcs: &[(usize, usize, u64)], source: usize, sink: usize) -> (u64, u128) {
    assert!(nodes <= NODES_MAX, "{nodes} nodes");
    let mut left = vec![0_u64; nodes * nodes];
    // Where there is room left from each node.
    let mut open = vec![0_u128; nodes];
    for (from, to, capacity) in arcs {
        let room = &mut left[from * nodes + to];
        *room = room.saturating_add(*capacity).min(ENDLESS);
        open[*from] |= u128::from(*room > 0) << to;
    }
    let mut value = 0_u64;
    let mut queue = Vec::with_capacity(nodes);
    let mut before = vec![0; nodes];
    loop {
        let mut seen = 1_u128 << source;
        queue.clear();
        queue.push(source);
        let mut next = 0;
        while next < queue.len() && seen & (1 << sink) == 0 {
            let node = queue[next];
            next += 1;
            let mut fresh = open[node] & !seen;
            seen |= fresh;
            while fresh != 0 {
                let to = fresh.trailing_zeros() as usize;
                fresh &= fresh - 1;
                before[to] = node;
                queue.push(to);
            }
        }
        if seen & (1 << sink) == 0 || value >= ENDLESS {
            return (value, seen);
        }
        let mut flow = u64::MAX;
        let mut at = sink;
        while at != source {
            flow = flow.min(left[before[at] * nodes + at]);
            at = before[at];
        }
        at = sink;
        while at != source {
            let from = before[at];
            let room = &mut left[from * nodes + at];
            *room -= flow;
            if *room == 0 {
                open[from] &= !(1 << at);
            }
            let back = &mut left[at * nodes + from];
            *back = back.saturating_add(flow);
            open[at] |= 1 << from;
            at = from;
        }
        value += flow;
    }
}
