//! One route, described.

use super::schemas::{Make, object, of};
use actix_web::http::Method;
use schemars::JsonSchema;

/// What an answer of success holds: its status, what it is, and its form.
pub enum Tells {
    /// JSON.
    Json(u16, &'static str, Make),
    /// Another media type.
    Other(u16, &'static str, &'static str),
    /// No body.
    Nothing(u16, &'static str),
}

/// What a route is for, what it reads and what it tells.
pub struct Operation {
    pub method: Method,
    /// As in the table of rights.
    pub path: &'static str,
    /// For programs; never the same twice.
    pub id: &'static str,
    /// One sentence.
    pub summary: &'static str,
    /// What else is to be known, after a space.
    pub more: &'static str,
    /// The type whose fields the query has.
    pub query: Option<Make>,
    /// What the body holds.
    pub body: Option<Make>,
    pub tells: Vec<Tells>,
    /// The statuses by which it refuses, beyond those that follow from the method, the path and the
    /// rank.
    pub refuses: &'static [u16],
}

fn operation(
    method: Method,
    path: &'static str,
    id: &'static str,
    summary: &'static str,
) -> Operation {
    Operation {
        method,
        path,
        id,
        summary,
        more: "",
        query: None,
        body: None,
        tells: Vec::new(),
        refuses: &[],
    }
}

/// A route that changes nothing.
pub fn read(path: &'static str, id: &'static str, summary: &'static str) -> Operation {
    operation(Method::GET, path, id, summary)
}

/// A route that changes something.
pub fn write(path: &'static str, id: &'static str, summary: &'static str) -> Operation {
    operation(Method::POST, path, id, summary)
}

impl Operation {
    /// Whether it is this route of the table.
    pub fn is_at(&self, method: &Method, path: &str) -> bool {
        self.method == method && self.path == path
    }

    /// What else is to be known.
    pub fn noting(mut self, more: &'static str) -> Operation {
        self.more = more;
        self
    }

    /// The body is a `T`.
    pub fn asks<T: JsonSchema>(self) -> Operation {
        self.asks_for(of::<T>)
    }

    /// The body is of this form.
    pub fn asks_for(mut self, body: Make) -> Operation {
        self.body = Some(body);
        self
    }

    /// The query has the fields of a `T`.
    pub fn asks_in_query<T: JsonSchema>(mut self) -> Operation {
        self.query = Some(T::json_schema);
        self
    }

    /// The answer is a `T`.
    pub fn tells<T: JsonSchema>(self, about: &'static str) -> Operation {
        self.and(Tells::Json(200, about, of::<T>))
    }

    /// Something new was made, and the answer is a `T`.
    pub fn makes<T: JsonSchema>(self, about: &'static str) -> Operation {
        self.and(Tells::Json(201, about, of::<T>))
    }

    /// The answer is a JSON object of which no more is said.
    pub fn tells_object(self, about: &'static str) -> Operation {
        self.and(Tells::Json(200, about, object))
    }

    /// The answer is of another media type.
    pub fn tells_as(self, kind: &'static str, about: &'static str) -> Operation {
        self.and(Tells::Other(200, about, kind))
    }

    /// One more answer of success.
    pub fn and(mut self, tells: Tells) -> Operation {
        self.tells.push(tells);
        self
    }

    /// It refuses by these statuses too.
    pub fn refuses(mut self, statuses: &'static [u16]) -> Operation {
        self.refuses = statuses;
        self
    }
}
