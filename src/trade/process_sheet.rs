//! The tested processes as their sheet states them, one table per product, method, pack, jar and
//! pressure option.
//!
//! For reading the sheet into tables. Not for judging them (`process_check`) or answering from
//! them (`lookup`). Invariant: tables come in the order of product, method, pack, jar, option, and
//! the bands of a table in the order of the file.

use std::collections::BTreeMap;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::faults::Gathered;
use super::measure::sixty_fourths;
use super::product_sheet::{source_text, stated};
use super::sheets::lines;
use super::terms::{Confidence, Jar, Method, Pack, PressureOption};

/// The file name of the sheet.
pub(super) const PROCESSES: &str = "processes.csv";

const HEADING: &str = "product,method,pack,jar,option,altitude_from_ft,altitude_to_ft,minutes,\
    psi,headspace_in,acid,source,page,confidence,note";

/// One altitude band of a tested process.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Band {
    /// Lowest altitude in feet, included.
    pub from_ft: i32,
    /// Highest altitude in feet, included; `None` when the publication says "above".
    pub to_ft: Option<i32>,
    /// Minutes of processing.
    pub minutes: u32,
    /// Pounds per square inch; only for pressure canners.
    pub psi: Option<u32>,
    /// Publication and section.
    pub source: String,
    /// Whether the numbers were read or follow from read ones by a named rule.
    pub confidence: Confidence,
    /// What was decided where sources differ, or what the publication adds.
    pub note: Option<String>,
    /// The line in the sheet.
    #[serde(skip)]
    pub line: u64,
}

impl Band {
    /// Whether the band covers this altitude in feet.
    pub fn covers(&self, altitude_ft: i32) -> bool {
        self.from_ft <= altitude_ft && self.to_ft.is_none_or(|to| altitude_ft <= to)
    }
}

/// A tested process over all its altitude bands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Table {
    /// The product's one name.
    pub product: String,
    /// How the jars are heated.
    pub method: Method,
    /// How the food goes into the jar.
    pub pack: Pack,
    /// The jar.
    pub jar: Jar,
    /// Which of two published pressures; `None` when there is one.
    pub option: Option<PressureOption>,
    /// Headspace in 64ths of an inch.
    pub headspace_64ths: u32,
    /// The acid each jar gets; `None` when none is needed.
    pub acid: Option<String>,
    /// Its bands from low to high.
    pub bands: Vec<Band>,
}

impl Table {
    /// The band that covers this altitude in feet.
    pub fn band(&self, altitude_ft: i32) -> Option<&Band> {
        self.bands.iter().find(|band| band.covers(altitude_ft))
    }

    /// The highest altitude in feet of the table; `None` when it has no upper end.
    pub fn top_ft(&self) -> Option<i32> {
        self.bands.last().and_then(|band| band.to_ft)
    }
}

#[derive(Deserialize)]
struct ProcessLine {
    product: String,
    method: String,
    pack: String,
    jar: String,
    option: String,
    altitude_from_ft: String,
    altitude_to_ft: String,
    minutes: String,
    psi: String,
    headspace_in: String,
    acid: String,
    source: String,
    page: String,
    confidence: String,
    note: String,
}

type Key = (String, Method, Pack, Jar, Option<PressureOption>);

pub(super) fn tables(text: &str, faults: &mut Gathered) -> Vec<Table> {
    let mut tables: BTreeMap<Key, Table> = BTreeMap::new();
    for (line, row) in lines::<ProcessLine>(PROCESSES, text, HEADING, faults) {
        let Some(mut read) = Cells { line, faults }.table(row) else {
            continue;
        };
        let key = (
            read.product.clone(),
            read.method,
            read.pack,
            read.jar,
            read.option,
        );
        match tables.get_mut(&key) {
            None => {
                tables.insert(key, read);
            }
            Some(table) => {
                if table.headspace_64ths != read.headspace_64ths || table.acid != read.acid {
                    let what = "headspace and acid must be the same in every altitude band";
                    faults.at(PROCESSES, line, what);
                }
                table.bands.append(&mut read.bands);
            }
        }
    }
    tables.into_values().collect()
}

/// Reads the cells of one line and notes what is wrong with them.
struct Cells<'faults> {
    line: u64,
    faults: &'faults mut Gathered,
}

impl Cells<'_> {
    fn table(mut self, row: ProcessLine) -> Option<Table> {
        let method = self.term::<Method>(&row.method);
        let pack = self.term::<Pack>(&row.pack);
        let jar = self.term::<Jar>(&row.jar);
        let option = self.optional_term::<PressureOption>(&row.option);
        let headspace = sixty_fourths(&row.headspace_in);
        if headspace.is_none() {
            self.fault("headspace_in must be inches such as 0.5");
        }
        let band = self.band(&row);
        Some(Table {
            product: row.product,
            method: method?,
            pack: pack?,
            jar: jar?,
            option: option?,
            headspace_64ths: headspace?,
            acid: stated(&row.acid),
            bands: vec![band?],
        })
    }

    fn band(&mut self, row: &ProcessLine) -> Option<Band> {
        let from = self.number::<i32>("altitude_from_ft", &row.altitude_from_ft);
        let to = self.optional_number::<i32>("altitude_to_ft", &row.altitude_to_ft);
        let minutes = self.number::<u32>("minutes", &row.minutes);
        let psi = self.optional_number::<u32>("psi", &row.psi);
        let confidence = self.term::<Confidence>(&row.confidence);
        if row.source.is_empty() {
            self.fault("has no source; name the publication and section");
        }
        Some(Band {
            from_ft: from?,
            to_ft: to?,
            minutes: minutes?,
            psi: psi?,
            source: source_text(&row.source, &row.page),
            confidence: confidence?,
            note: stated(&row.note),
            line: self.line,
        })
    }

    fn fault(&mut self, what: impl Into<String>) {
        self.faults.at(PROCESSES, self.line, what);
    }

    fn term<Term: FromStr<Err: ToString>>(&mut self, cell: &str) -> Option<Term> {
        match cell.parse() {
            Ok(term) => Some(term),
            Err(error) => {
                self.fault(error.to_string());
                None
            }
        }
    }

    fn optional_term<Term: FromStr<Err: ToString>>(&mut self, cell: &str) -> Option<Option<Term>> {
        if cell.is_empty() {
            Some(None)
        } else {
            self.term(cell).map(Some)
        }
    }

    fn number<Number: FromStr>(&mut self, column: &str, cell: &str) -> Option<Number> {
        let number = cell.parse().ok();
        if number.is_none() {
            self.fault(format!(
                "{column} \"{cell}\" must be a whole number without a unit"
            ));
        }
        number
    }

    fn optional_number<Number: FromStr>(
        &mut self,
        column: &str,
        cell: &str,
    ) -> Option<Option<Number>> {
        if cell.is_empty() {
            Some(None)
        } else {
            self.number(column, cell).map(Some)
        }
    }
}
