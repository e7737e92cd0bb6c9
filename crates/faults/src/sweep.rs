//! The chance of every cause after the evidence, exactly.
//!
//! Variable elimination in the form of a sweep forward and back over the causes, one at a time. Between two causes the table holds, for
//! each setting of the bits that are *open* (some cause of theirs has been met and some has not) and each state of the cures, the weight of all that has been met; a
//! group of bits is weighed and summed out as soon as its last cause is past. The work is Σ 2^open, not 2^causes and not 2^observations: what
//! was *not* seen costs nothing, and signs far apart are never open together. Every number is a sum of products of numbers that are not
//! negative, so the result is good to about 1e-14 of itself; the alternating sum over sets of positive findings (Heckerman 1989) is not.
//! The order of the causes is chosen greedily: next comes the group that can be closed with the fewest bits open.

use crate::cures::Cures;
use crate::network::Network;

/// The most entries all tables may have together (128 MB).
const ENTRIES_MOST: usize = 1 << 24;

/// What the sweep gives.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Swept {
    /// The natural logarithm of the chance of the evidence; minus infinity if it is impossible.
    pub log_evidence: f64,
    /// The same of the part that hangs together through bits, without what all share.
    pub log_linked: f64,
    /// The chance of each cause after it.
    pub chances: Vec<f64>,
    /// The chance that each acts and that no repair mended it.
    pub still: Vec<f64>,
}

/// Too much was shown at once that hangs together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Entangled {
    /// How many bits would be open at once.
    pub open: usize,
}

/// One cause on the way.
struct Step {
    cause: usize,
    /// How many bits are open before and after it opens its own.
    before: usize,
    opened: usize,
    /// Its bits by place in the table.
    links: Vec<(usize, f64)>,
    /// Groups closed after it: the group, and the places of its bits.
    closes: Vec<(usize, Vec<usize>)>,
}

/// The chances after the evidence.
pub(crate) fn sweep(network: &Network) -> Result<Swept, Entangled> {
    let count = network.prior.len();
    let mut log_evidence = network.shared.ln();
    let (mut chances, mut still) = (vec![0.0; count], vec![0.0; count]);
    let mut linked = vec![false; count];
    for link in network.groups.iter().flat_map(|group| &group.bits).flat_map(|bit| &bit.links) {
        linked[link.0] = true;
    }
    let cures = &network.cures;
    let states = cures.states();
    (0..count).for_each(|cause| linked[cause] |= cures.concern(cause));
    for cause in 0..count {
        if !linked[cause] {
            let (acts, not) = (network.prior[cause] * network.kept[cause], 1.0 - network.prior[cause]);
            log_evidence += (acts + not).ln();
            chances[cause] = if acts > 0.0 { acts / (acts + not) } else { 0.0 };
            still[cause] = chances[cause] * network.unmended[cause];
        }
    }
    let steps = plan(network)?;
    let mut log_linked = 0.0;
    let mut table = vec![0.0; states];
    table[0] = 1.0;
    let mut kept: Vec<Vec<f64>> = Vec::with_capacity(steps.len());
    for step in &steps {
        table.resize(states << step.opened, 0.0);
        kept.push(table.clone());
        let (acts, not) = weights(network, step);
        let mut fired = table.clone();
        fire(&mut fired, &step.links, states);
        cures.lead(&mut fired, step.cause);
        for (entry, fired) in table.iter_mut().zip(&fired) {
            *entry = not * *entry + acts * fired;
        }
        for (group, places) in &step.closes {
            table = close(&table, places, &network.groups[*group].weights, states);
        }
        let most = table.iter().copied().fold(0.0, f64::max);
        log_linked += most.ln();
        if most == 0.0 {
            return Ok(Swept { log_evidence: f64::NEG_INFINITY, log_linked, chances, still });
        }
        table.iter_mut().for_each(|entry| *entry /= most);
    }
    let end = cures.end();
    log_linked += table.iter().zip(&end).map(|(entry, said)| entry * said).sum::<f64>().ln();
    log_evidence += log_linked;
    if log_evidence == f64::NEG_INFINITY {
        return Ok(Swept { log_evidence, log_linked, chances, still });
    }
    let mut back = end;
    for (step, before) in steps.iter().zip(&kept).rev() {
        for (group, places) in step.closes.iter().rev() {
            back = reopen(&back, places, &network.groups[*group].weights, states);
        }
        let (acts, not) = weights(network, step);
        let mut fired = back.clone();
        unfire(&mut fired, &step.links, states);
        let held = cures.concern(step.cause).then(|| {
            let mut held = fired.clone();
            cures.lead_back_held(&mut held, step.cause);
            held
        });
        cures.lead_back(&mut fired, step.cause);
        let sum = |table: &[f64]| before.iter().zip(table).map(|(a, b)| a * b).sum::<f64>();
        let (yes, no) = (acts * sum(&fired), not * sum(&back));
        chances[step.cause] = if yes > 0.0 { yes / (yes + no) } else { 0.0 };
        still[step.cause] = match held {
            Some(held) if yes > 0.0 => acts * sum(&held) / (yes + no),
            Some(_) => 0.0,
            None => chances[step.cause] * network.unmended[step.cause],
        };
        for (entry, fired) in back.iter_mut().zip(&fired) {
            *entry = not * *entry + acts * fired;
        }
        back.truncate(states << step.before);
        let most = back.iter().copied().fold(0.0, f64::max);
        if most > 0.0 {
            back.iter_mut().for_each(|entry| *entry /= most);
        }
    }
    Ok(Swept { log_evidence, log_linked, chances, still })
}

fn weights(network: &Network, step: &Step) -> (f64, f64) {
    let prior = network.prior[step.cause];
    (prior * network.kept[step.cause], 1.0 - prior)
}

/// Lets an acting cause set its bits.
fn fire(table: &mut [f64], links: &[(usize, f64)], states: usize) {
    for (place, chance) in links {
        let bit = states << place;
        for block in table.chunks_exact_mut(2 * bit) {
            let (clear, set) = block.split_at_mut(bit);
            for (clear, set) in clear.iter_mut().zip(set) {
                *set += chance * *clear;
                *clear *= 1.0 - chance;
            }
        }
    }
}

/// The same seen from behind.
fn unfire(table: &mut [f64], links: &[(usize, f64)], states: usize) {
    for (place, chance) in links.iter().rev() {
        let bit = states << place;
        for block in table.chunks_exact_mut(2 * bit) {
            let (clear, set) = block.split_at_mut(bit);
            for (clear, set) in clear.iter_mut().zip(set) {
                *clear = chance * *set + (1.0 - chance) * *clear;
            }
        }
    }
}

/// The state without the bits at `places` (rising), and those bits by themselves.
fn parted(state: usize, places: &[usize]) -> (usize, usize) {
    let (mut rest, mut own) = (state, 0);
    for (n, place) in places.iter().enumerate().rev() {
        own |= (rest >> place & 1) << n;
        rest = rest & ((1 << place) - 1) | rest >> (place + 1) << place;
    }
    (rest, own)
}

fn close(table: &[f64], places: &[usize], weights: &[f64], states: usize) -> Vec<f64> {
    let mut closed = vec![0.0; table.len() >> places.len()];
    for (state, entries) in table.chunks_exact(states).enumerate() {
        let (rest, own) = parted(state, places);
        for (closed, entry) in closed[rest * states..][..states].iter_mut().zip(entries) {
            *closed += entry * weights[own];
        }
    }
    closed
}

fn reopen(closed: &[f64], places: &[usize], weights: &[f64], states: usize) -> Vec<f64> {
    (0..(closed.len() / states) << places.len())
        .flat_map(|state| {
            let (rest, own) = parted(state, places);
            closed[rest * states..][..states].iter().map(move |entry| entry * weights[own])
        })
        .collect()
}

/// The order of the causes and what each opens and closes.
fn plan(network: &Network) -> Result<Vec<Step>, Entangled> {
    let groups = &network.groups;
    let mut touches: Vec<Vec<usize>> = vec![Vec::new(); network.prior.len()];
    let mut members: Vec<Vec<usize>> = Vec::with_capacity(groups.len());
    for (number, group) in groups.iter().enumerate() {
        let mut causes: Vec<usize> =
            group.bits.iter().flat_map(|bit| &bit.links).map(|link| link.0).collect();
        causes.sort_unstable();
        causes.dedup();
        for cause in &causes {
            touches[*cause].push(number);
        }
        members.push(causes);
    }
    let mut met = vec![false; network.prior.len()];
    let mut left: Vec<usize> = members.iter().map(Vec::len).collect();
    let mut closed = vec![false; groups.len()];
    // The open bits: (group, bit of the group), by place in the table.
    let mut open: Vec<(usize, usize)> = Vec::new();
    let mut steps = Vec::new();
    let states = network.cures.states();
    if states > Cures::STATES_MOST {
        return Err(Entangled { open: states });
    }
    let mut entries = 0_usize;
    // Causes that nothing but cures speak of open no bit.
    for cause in (0..met.len()).filter(|cause| touches[*cause].is_empty() && network.cures.concern(*cause)) {
        steps.push(Step { cause, before: 0, opened: 0, links: Vec::new(), closes: Vec::new() });
    }
    loop {
        let is_open = |group: usize, open: &[(usize, usize)]| open.iter().any(|(at, _)| *at == group);
        let cost = |group: &usize| {
            let mut fresh: Vec<usize> = members[*group]
                .iter()
                .filter(|cause| !met[**cause])
                .flat_map(|cause| &touches[*cause])
                .copied()
                .filter(|touched| !is_open(*touched, &open))
                .collect();
            fresh.sort_unstable();
            fresh.dedup();
            let bits: usize = fresh.iter().map(|fresh| groups[*fresh].bits.len()).sum();
            (bits, left[*group])
        };
        let Some(next) = (0..groups.len()).filter(|group| !closed[*group]).min_by_key(cost) else { break };
        // Within the group, causes that open least come first.
        let mut causes: Vec<usize> = members[next].iter().copied().filter(|cause| !met[*cause]).collect();
        while !causes.is_empty() {
            let opens = |cause: &usize| {
                touches[*cause]
                    .iter()
                    .filter(|group| !is_open(**group, &open))
                    .map(|group| groups[*group].bits.len())
                    .sum::<usize>()
            };
            let Some(at) = (0..causes.len()).min_by_key(|at| opens(&causes[*at])) else { break };
            let cause = causes.swap_remove(at);
            met[cause] = true;
            let before = open.len();
            for group in &touches[cause] {
                if !is_open(*group, &open) {
                    open.extend((0..groups[*group].bits.len()).map(|bit| (*group, bit)));
                }
            }
            let opened = open.len();
            entries = entries.saturating_add(
                1_usize
                    .checked_shl(u32::try_from(opened).unwrap_or(u32::MAX))
                    .unwrap_or(usize::MAX)
                    .saturating_mul(states),
            );
            if opened >= 40 || entries > ENTRIES_MOST {
                return Err(Entangled { open: opened });
            }
            let place =
                |group: usize, bit: usize| open.iter().position(|at| *at == (group, bit)).unwrap_or(0);
            let mut links = Vec::new();
            for group in &touches[cause] {
                for (bit, content) in groups[*group].bits.iter().enumerate() {
                    links.extend(
                        content
                            .links
                            .iter()
                            .filter(|link| link.0 == cause && link.1 > 0.0)
                            .map(|link| (place(*group, bit), link.1)),
                    );
                }
            }
            let mut closes = Vec::new();
            for group in &touches[cause] {
                left[*group] -= 1;
                if left[*group] == 0 {
                    closed[*group] = true;
                    let mut places: Vec<usize> = Vec::new();
                    for (at, (owner, _)) in open.iter().enumerate() {
                        if owner == group {
                            places.push(at);
                        }
                    }
                    open.retain(|(owner, _)| owner != group);
                    closes.push((*group, places));
                }
            }
            steps.push(Step { cause, before, opened, links, closes });
        }
    }
    Ok(steps)
}
