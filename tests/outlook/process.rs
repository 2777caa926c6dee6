//! A tested process is never cut short and never varied, whatever is drawn around it.

use crate::support::{begin, cut, family_day};
use putby::day::state::LoadPhase;
use putby::day::time::Timestamp;
use putby::outlook::Model;
use putby::sim::{Key, Simulator, Until};

/// The minutes a load under way must still stay on the heat at least, by its product's process.
fn least_left(cut: &crate::support::Cut, model: &Model, stop: usize) -> f64 {
    let place = &model.stops[stop];
    let here = cut.state.loads.values().filter(|load| {
        load.is_in_canner()
            && load.station == place.station
            && load.process.decided_by == place.product
    });
    let left = here.map(|load| {
        let process = f64::from(load.process.tested.minutes);
        match load.phase {
            LoadPhase::Loading | LoadPhase::Heating | LoadPhase::Venting => process,
            LoadPhase::Timing => load.done_at().unwrap().ms_since(cut.at).max(0) as f64 / 60_000.0,
            LoadPhase::Resting | LoadPhase::Lifted | LoadPhase::Cancelled => 0.0,
        }
    });
    left.fold(f64::INFINITY, f64::min)
}

#[test]
fn every_simulated_load_lasts_at_least_its_process() {
    let (mut fresh, mut under_way) = (0, 0);
    for seed in [1, 5] {
        let played = family_day(seed);
        for minute in (60..420).step_by(30) {
            let at = Timestamp(begin(&played.records).0 + minute * 60_000);
            let cut = cut(&played.records, at);
            let model = cut.model();
            let mut simulator = Simulator::new(&model.network).unwrap();
            for run in 0..40 {
                let key = Key { seed: 9, run };
                for batch in &simulator.run(&model.start, key, Until::done()).batches {
                    let lasted = batch.ended_min - batch.began_min;
                    if let Some(process) = model.process_min[batch.stop] {
                        assert!(lasted >= process, "{lasted} of {process} minutes");
                        fresh += 1;
                    } else if model.stop(
                        &model.stops[batch.stop].station,
                        &model.stops[batch.stop].product,
                    ) != Some(batch.stop)
                    {
                        let least = least_left(&cut, &model, batch.stop);
                        assert!(batch.ended_min >= least - 1e-9, "{batch:?}: {least}");
                        under_way += 1;
                    }
                }
            }
        }
    }
    assert!(fresh > 1000 && under_way > 100, "{fresh} {under_way}");
}
