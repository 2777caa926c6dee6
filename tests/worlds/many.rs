//! Many seeds on as many threads as there are cores, in order.

use std::thread;

pub fn each<T: Send>(seeds: std::ops::Range<u64>, of: impl Fn(u64) -> T + Sync) -> Vec<T> {
    let threads = thread::available_parallelism().map_or(1, usize::from) as u64;
    let mut found: Vec<(u64, T)> = thread::scope(|scope| {
        let start = |first: u64| {
            let (of, seeds) = (&of, seeds.clone());
            scope.spawn(move || {
                let mine = seeds.filter(|seed| seed % threads == first);
                mine.map(|seed| (seed, of(seed))).collect::<Vec<_>>()
            })
        };
        let handles: Vec<_> = (0..threads).map(start).collect();
        let joined = handles.into_iter().map(|handle| handle.join());
        joined
            .flat_map(|part| part.expect("a day that ends"))
            .collect()
    });
    found.sort_by_key(|(seed, _)| *seed);
    found.into_iter().map(|(_, of)| of).collect()
}
