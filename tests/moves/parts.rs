//! Parts of invented kitchens: a station, a stop, a person.

use putby::sim::{Helper, Law, Station, Stop, Then, Uncertain, WhenFull, Works};

pub fn station(name: &str, works: Works, seats: u32) -> Station {
    Station {
        name: name.to_owned(),
        works,
        room: None,
        when_full: WhenFull::Block,
        seats,
        takes: Vec::new(),
        slowness: Uncertain::Known(1.0),
    }
}

pub fn stop(station: usize, time: Law, then: Then) -> Stop {
    Stop {
        station,
        class: 0,
        carrier: 1.0,
        fits: 1.0,
        time,
        yields: Uncertain::Known(1.0),
        then,
        rank: 0,
        group: 0,
        draws: Vec::new(),
    }
}

pub fn helper(name: &str, rates: Vec<Option<Uncertain>>) -> Helper {
    Helper {
        name: name.to_owned(),
        rates,
        speed: Uncertain::Known(1.0),
        away: Vec::new(),
        rests: None,
        prefers: Vec::new(),
        turns: Vec::new(),
        serves: Vec::new(),
    }
}
