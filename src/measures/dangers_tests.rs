//! Dangers on invented glides.

use super::*;

fn spell(states: &[(f64, bool, f64)]) -> Option<(f64, f64, f64)> {
    first_spell(states.iter().copied(), 2.0, f64::min)
}

#[test]
fn the_first_spell_that_lasts_and_its_worst() {
    let states = [
        (0.0, true, 9.0),
        (1.0, false, 1.0),
        (2.0, true, 7.0),
        (3.0, true, 5.0),
        (4.0, true, 6.0),
        (5.0, false, 1.0),
        (6.0, true, 2.0),
    ];
    assert_eq!(spell(&states), Some((2.0, 4.0, 5.0)));
    assert_eq!(spell(&states[..4]), None);
    // a spell that lasts until the end counts
    assert_eq!(spell(&states[..5]), Some((2.0, 4.0, 5.0)));
}
