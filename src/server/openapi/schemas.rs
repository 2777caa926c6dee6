//! The schemas of what is read and of what is told, as the types themselves have them.
//!
//! Reading and telling differ (what may be left out is always told), so each has its own; what is
//! told is named `told.` and the type.

use crate::day::ids::DayId;
use crate::trace::LotCode;
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde_json::{Map, Value, json};

/// What a type's schema is.
pub type Make = fn(&mut SchemaGenerator) -> Schema;

/// The schema of `T`, by reference if it has a name.
pub fn of<T: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    generator.subschema_for::<T>()
}

/// An object of which no more is said.
pub fn object(_: &mut SchemaGenerator) -> Schema {
    schemars::json_schema!({"type": "object"})
}

/// Where a component is.
pub fn reference(kind: &str, name: &str) -> Value {
    json!({"$ref": format!("#/components/{kind}/{name}")})
}

/// All schemas that were asked for so far.
pub struct Schemas {
    read: SchemaGenerator,
    told: SchemaGenerator,
}

impl Default for Schemas {
    fn default() -> Schemas {
        let settings = SchemaSettings::draft2020_12().with(|settings| {
            settings.definitions_path = "/components/schemas".into();
            settings.meta_schema = None;
        });
        Schemas {
            read: settings.clone().for_deserialize().into_generator(),
            told: settings.for_serialize().into_generator(),
        }
    }
}

impl Schemas {
    /// Of a body that is read.
    pub fn asked(&mut self, make: Make) -> Value {
        exact(make(&mut self.read).to_value())
    }

    /// Of a body that is told.
    pub fn told(&mut self, make: Make) -> Value {
        renamed(exact(make(&mut self.told).to_value()))
    }

    /// The parameters of a query: the fields of a type.
    pub fn of_query(&mut self, make: Make) -> Vec<Value> {
        let fields = exact(make(&mut self.read).to_value());
        let needed = |name: &String| {
            let required = fields["required"].as_array();
            required.is_some_and(|all| all.iter().any(|one| one == name))
        };
        let known = fields["properties"].as_object();
        let parameter = |(name, schema): (&String, &Value)| {
            let mut schema = schema.clone();
            let about = schema
                .as_object_mut()
                .and_then(|it| it.remove("description"));
            json!({"name": name, "in": "query", "required": needed(name),
                   "description": about, "schema": schema})
        };
        known.into_iter().flatten().map(parameter).collect()
    }

    /// A part of a path: what it is, and its schema.
    pub fn of_part(&mut self, name: &str) -> (&'static str, Value) {
        let text =
            |_: &mut SchemaGenerator| schemars::json_schema!({"type": "string", "minLength": 1});
        match name {
            "day" => ("The id of a day.", self.asked(of::<DayId>)),
            "code" => (
                "The code of a lot, as on its label.",
                self.asked(of::<LotCode>),
            ),
            "device" => ("A device, as the list names it.", self.asked(text)),
            "name" => ("The name of a copy, as the list has it.", self.asked(text)),
            _ => ("The name of a file of the pages.", self.asked(text)),
        }
    }

    /// Every schema that has a name.
    pub fn all(mut self) -> Map<String, Value> {
        let read = self.read.take_definitions(true).into_iter();
        let told = self.told.take_definitions(true).into_iter();
        let read = read.map(|(name, schema)| (name, exact(schema)));
        let told = told.map(|(name, schema)| (format!("told.{name}"), renamed(exact(schema))));
        read.chain(told).collect()
    }
}

/// A schema with the range of each kind of integer, which is what is read; a list of which a set is
/// made may name one thing twice.
fn exact(mut schema: Value) -> Value {
    let range: Option<(i64, u64)> = match schema["format"].as_str() {
        Some("uint8") => Some((0, u8::MAX.into())),
        Some("uint32") => Some((0, u32::MAX.into())),
        Some("uint64") => Some((0, u64::MAX)),
        Some("int32") => Some((i32::MIN.into(), i32::MAX as u64)),
        Some("int64") => Some((i64::MIN, i64::MAX as u64)),
        _ => None,
    };
    if let (Some((least, most)), Value::Object(it)) = (range, &mut schema) {
        it.entry("minimum").or_insert(least.into());
        it.entry("maximum").or_insert(most.into());
    }
    match schema {
        Value::Object(mut it) => {
            it.remove("uniqueItems");
            let parts = it.into_iter().map(|(name, part)| (name, exact(part)));
            Value::Object(parts.collect())
        }
        Value::Array(all) => all.into_iter().map(exact).collect(),
        plain => plain,
    }
}

/// A schema that leads to what is told.
fn renamed(mut schema: Value) -> Value {
    match &mut schema {
        Value::Object(it) => {
            if let Some(Value::String(to)) = it.get_mut("$ref") {
                *to = to.replace("/schemas/", "/schemas/told.");
            }
            it.values_mut()
                .for_each(|part| *part = renamed(part.take()));
        }
        Value::Array(all) => all.iter_mut().for_each(|part| *part = renamed(part.take())),
        _ => {}
    }
    schema
}
