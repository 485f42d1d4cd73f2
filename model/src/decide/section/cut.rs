//! Minimum cut between a source and a sink by maximum flow, in whole numbers and so exact.
//!
//! Shortest augmenting paths (Edmonds and Karp, 1972) on a matrix: the graphs have a few dozen nodes. Knows no cells.

/// A capacity that no cut can afford.
pub const ENDLESS: u64 = 1 << 60;

/// The least capacity that parts `source` from `sink`, and on which side each node lies: `true` with the source. Of
/// several least cuts the one with the fewest nodes at the source. Arcs are `(from, to, capacity)`; those with the same
/// ends add up. A value of [`ENDLESS`] or more says that nothing affordable parts them; the sides then mean nothing.
///
/// # Panics
/// Where an arc names a node that is not below `nodes`.
pub fn minimum_cut(nodes: usize, arcs: &[(usize, usize, u64)], source: usize, sink: usize) -> (u64, Vec<bool>) {
    let mut left = vec![0_u64; nodes * nodes];
    for (from, to, capacity) in arcs {
        let room = &mut left[from * nodes + to];
        *room = room.saturating_add(*capacity).min(ENDLESS);
    }
    let mut value = 0_u64;
    let mut queue = Vec::with_capacity(nodes);
    let mut before = vec![usize::MAX; nodes];
    loop {
        before.fill(usize::MAX);
        before[source] = source;
        queue.clear();
        queue.push(source);
        let mut next = 0;
        while next < queue.len() && before[sink] == usize::MAX {
            let node = queue[next];
            next += 1;
            for to in 0..nodes {
                if before[to] == usize::MAX && left[node * nodes + to] > 0 {
                    before[to] = node;
                    queue.push(to);
                }
            }
        }
        if before[sink] == usize::MAX || value >= ENDLESS {
            return (value, before.iter().map(|one| *one != usize::MAX).collect());
        }
        let mut flow = u64::MAX;
        let mut at = sink;
        while at != source {
            flow = flow.min(left[before[at] * nodes + at]);
            at = before[at];
        }
        at = sink;
        while at != source {
            left[before[at] * nodes + at] -= flow;
            let back = &mut left[at * nodes + before[at]];
            *back = back.saturating_add(flow);
            at = before[at];
        }
        value += flow;
    }
}
