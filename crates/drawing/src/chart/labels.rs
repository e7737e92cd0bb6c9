//! Labels in a column beside what they name, moved apart where they would lie over each other.

/// Where labels of some heights stand, each as near to where it wants to be as the others and the column allow. In order of what they want;
/// answers in the order given. Where the column is too short for all, they run over its foot.
pub(super) fn spread(wanted: &[(f64, f64)], top: f64, bottom: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].0.total_cmp(&wanted[*b].0).then(a.cmp(b)));
    // Blocks of labels that touch: sum of what they want, less how far each lies below the head; their count; their height.
    let mut blocks: Vec<(f64, usize, f64)> = Vec::new();
    let head = |&(sum, count, height): &(f64, usize, f64)| (sum / count as f64).min(bottom - height).max(top);
    for n in &order {
        let (middle, height) = wanted[*n];
        blocks.push((middle - height / 2.0, 1, height));
        while let [.., above, below] = &blocks[..] {
            if head(above) + above.2 <= head(below) + 1e-9 {
                break;
            }
            let joined = (above.0 + below.0 - below.1 as f64 * above.2, above.1 + below.1, above.2 + below.2);
            blocks.truncate(blocks.len() - 2);
            blocks.push(joined);
        }
    }
    let mut placed = vec![0.0; wanted.len()];
    let mut next = order.into_iter();
    for block in &blocks {
        let mut y = head(block);
        for n in next.by_ref().take(block.1) {
            placed[n] = y + wanted[n].1 / 2.0;
            y += wanted[n].1;
        }
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn labels_that_want_the_same_place_stand_about_it() {
        assert_eq!(spread(&[(10.0, 4.0), (10.0, 4.0)], 0.0, 40.0), [8.0, 12.0]);
        assert_eq!(spread(&[(1.0, 4.0), (30.0, 4.0)], 0.0, 40.0), [2.0, 30.0]);
        assert_eq!(spread(&[(39.0, 4.0), (39.5, 4.0)], 0.0, 40.0), [34.0, 38.0]);
    }

    proptest! {
        #[test]
        fn no_label_lies_over_another(wanted in prop::collection::vec((0.0..100.0f64, 3.0..9.0f64), 1..9)) {
            let at = spread(&wanted, 0.0, 100.0);
            let mut spans: Vec<(f64, f64)> =
                at.iter().zip(&wanted).map(|(y, (_, h))| (y - h / 2.0, y + h / 2.0)).collect();
            spans.sort_by(|a, b| a.0.total_cmp(&b.0));
            prop_assert!(spans.windows(2).all(|pair| pair[0].1 <= pair[1].0 + 1e-6));
            prop_assert!(spans.iter().all(|(low, high)| *low >= -1e-6 && *high <= 100.0 + 1e-6));
        }
    }
}
