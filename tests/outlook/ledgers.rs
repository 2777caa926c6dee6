//! What the model holds is what the ledgers hold.

use crate::support::{begin, cut, family_day};
use putby::day::time::Timestamp;
use putby::outlook::Model;

/// By stop: waiting and under way in the model, closed boxes aside, with what was left out.
fn in_model(model: &Model, stop: usize) -> f64 {
    let place = &model.stops[stop];
    // Loads under way have stops of their own.
    let same = (0..model.stops.len()).filter(|other| model.stops[*other] == *place);
    let mut sum = 0.0;
    for stop in same {
        sum += model.open_at(stop) + model.left_out[stop];
        let busy = model.start.busy.iter().filter(|busy| busy.stop == stop);
        sum += busy.map(|busy| busy.amount).sum::<f64>();
    }
    sum
}

#[test]
fn the_amounts_of_the_model_are_those_of_the_ledgers() {
    for seed in 1..=3 {
        let played = family_day(seed);
        for minute in (5..480).step_by(25) {
            let at = Timestamp(begin(&played.records).0 + minute * 60_000);
            let cut = cut(&played.records, at);
            let model = cut.model();
            for (stop, place) in model.stops.iter().enumerate() {
                if cut.state.is_after_canner(&place.product, &place.station) {
                    continue;
                }
                let flows = cut.state.lots_at(&place.station, &place.product);
                let flows = flows.into_iter().flat_map(|lots| lots.values());
                let there: i64 = flows.map(|flow| flow.waiting().0 + flow.inside.0).sum();
                let held = in_model(&model, stop);
                assert!(
                    (held - there as f64 / 1000.0).abs() < 1e-6,
                    "seed {seed}, minute {minute}, {place:?}: {held} in the model, {there} on the board"
                );
            }
        }
    }
}
