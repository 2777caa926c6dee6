//! Numbers for names.

use super::Misread;

/// What joins a class and a station in the name of a step.
pub(super) const AT: &str = " at ";

/// The names of one kind of thing, each once.
#[derive(Debug)]
pub(super) struct Names<'a> {
    kind: &'static str,
    all: Vec<&'a str>,
}

impl<'a> Names<'a> {
    /// Takes the names; each must be a usable one and stand only once.
    pub(super) fn of(
        kind: &'static str,
        names: impl Iterator<Item = &'a str>,
    ) -> Result<Self, Misread> {
        let mut all: Vec<&'a str> = Vec::new();
        for name in names {
            if name.trim().is_empty() || name == "out" || name.contains(AT) {
                return Err(Misread::new(
                    format!("\"{name}\" is no name for a {kind}."),
                    "Use a word or two; not \"out\", and without \" at \" inside.",
                ));
            }
            if all.contains(&name) {
                return Err(Misread::new(
                    format!("There are two of the {kind} \"{name}\"."),
                    "Give each its own name.",
                ));
            }
            all.push(name);
        }
        Ok(Self { kind, all })
    }

    /// The number of a name that stands somewhere.
    pub(super) fn find(&self, name: &str, place: &str) -> Result<usize, Misread> {
        let found = self.all.iter().position(|known| *known == name);
        found.ok_or_else(|| {
            let instead = match self.all.is_empty() {
                true => format!("Add the {} to the file.", self.kind),
                false => format!("Known are: {}.", self.all.join(", ")),
            };
            Misread::new(
                format!(
                    "{place} names the {} \"{name}\", which is not there.",
                    self.kind
                ),
                instead,
            )
        })
    }

    pub(super) fn len(&self) -> usize {
        self.all.len()
    }

    pub(super) fn get(&self, number: usize) -> &'a str {
        self.all[number]
    }

    pub(super) fn to_vec(&self) -> Vec<String> {
        self.all.iter().map(|name| (*name).to_owned()).collect()
    }
}

/// The steps, found by station or by class and station.
#[derive(Debug)]
pub(super) struct Steps<'a> {
    stations: &'a Names<'a>,
    classes: &'a Names<'a>,
    /// (station, class) of each.
    pub(super) keys: Vec<(usize, usize)>,
}

impl<'a> Steps<'a> {
    pub(super) fn new(stations: &'a Names<'a>, classes: &'a Names<'a>) -> Self {
        Self {
            stations,
            classes,
            keys: Vec::new(),
        }
    }

    /// Its name: the station alone where there is one class.
    pub(super) fn name(&self, number: usize) -> String {
        let (station, class) = self.keys[number];
        match self.classes.len() {
            0 | 1 => self.stations.get(station).to_owned(),
            _ => self.full_name(station, class),
        }
    }

    fn full_name(&self, station: usize, class: usize) -> String {
        format!(
            "{}{AT}{}",
            self.classes.get(class),
            self.stations.get(station)
        )
    }

    /// Every step that a name stands for: one, or all of a station.
    pub(super) fn all_of(&self, name: &str, place: &str) -> Result<Vec<usize>, Misread> {
        let (class, station) = match name.split_once(AT) {
            Some((class, station)) => (Some(self.classes.find(class, place)?), station),
            None => (None, name),
        };
        let station = self.stations.find(station, place)?;
        let fits = |key: &(usize, usize)| key.0 == station && class.is_none_or(|c| c == key.1);
        let found: Vec<usize> = (0..self.keys.len())
            .filter(|number| fits(&self.keys[*number]))
            .collect();
        match found.is_empty() {
            false => Ok(found),
            true => Err(Misread::new(
                format!("{place} names \"{name}\", but no step is done there."),
                "Add it to the steps.",
            )),
        }
    }

    /// The one step that a name stands for.
    pub(super) fn one(&self, name: &str, place: &str) -> Result<usize, Misread> {
        let all = self.all_of(name, place)?;
        match all.as_slice() {
            [step] => Ok(*step),
            several => {
                let names: Vec<String> = several
                    .iter()
                    .map(|step| self.full_name(self.keys[*step].0, self.keys[*step].1))
                    .collect();
                Err(Misread::new(
                    format!("{place} names \"{name}\", where there are several steps."),
                    format!("Say which: {}.", names.join(" or ")),
                ))
            }
        }
    }

    /// The step of this class at a named station, or the step named in full.
    pub(super) fn onward(&self, name: &str, class: usize, place: &str) -> Result<usize, Misread> {
        if name.contains(AT) {
            return self.one(name, place);
        }
        let station = self.stations.find(name, place)?;
        let found = self.keys.iter().position(|key| *key == (station, class));
        found.ok_or_else(|| {
            Misread::new(
                format!("{place} goes to {name}, where no step of its class is done."),
                format!("Add {} to the steps.", self.full_name(station, class)),
            )
        })
    }
}
