//! Best glide speed and weight.

use stillprop::briefing::best_glide_at_weight_kcas;

use super::expect;

#[test]
fn speeds_go_with_the_square_root_of_the_weight() {
    const SOURCE: &str = "computed; the law is in any performance text, from memory";
    for (share, speed_kt) in [(1.0, 68.0), (0.9, 64.5), (0.8, 60.8), (0.7, 56.9)] {
        let found = best_glide_at_weight_kcas(68.0, 2400.0, share * 2400.0);
        expect(found, speed_kt, 0.05, &format!("{share} of 68 kt"), SOURCE);
    }
}
