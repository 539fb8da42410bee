//! The layout as JSON Schema (draft 2020-12), with which editors complete and check a file while it is
//! typed. Made from the same table of keys that the reader goes by.

use serde_json::{Map, Value, json};

use super::keys::{Absent, Entry, Key, Kind, LAYOUT, Sign};

/// A length in quotes: a number, perhaps with a fraction, and its unit; twice for feet and inches.
const LENGTH_TEXT: &str = "^\\s*[-−+]?\\s*([0-9.½¼¾⅛⅜⅝⅞][0-9.½¼¾⅛⅜⅝⅞/⁄\\s–−-]*([a-zA-Z]+|['′’]{1,2}|[\"″”])\\s*[-–−]?\\s*){1,2}$";

/// The JSON Schema of a layout file.
#[must_use]
pub fn schema() -> Value {
    let mut schema = table(&LAYOUT);
    if let Value::Object(map) = &mut schema {
        map.insert(
            "$schema".into(),
            json!("https://json-schema.org/draft/2020-12/schema"),
        );
        map.insert("title".into(), json!("Deck layout"));
        map.insert(
            "$defs".into(),
            json!({
                "length": length(None),
                "notNegative": length(Some(Sign::NotNegative)),
                "positive": length(Some(Sign::Positive)),
                "point": {
                    "type": "array",
                    "items": reference("length"),
                    "minItems": 2,
                    "maxItems": 2
                },
                "position": {
                    "anyOf": [reference("point"), { "type": "string", "minLength": 1 }]
                }
            }),
        );
    }
    schema
}

fn reference(name: &str) -> Value {
    json!({ "$ref": format!("#/$defs/{name}") })
}

/// A list, `least` entries at least, of lists that hold these.
fn list_of(parts: &[&str], least: usize) -> Value {
    let items: Vec<Value> = parts.iter().map(|name| reference(name)).collect();
    json!({
        "type": "array",
        "minItems": least,
        "items": {
            "type": "array",
            "prefixItems": items,
            "minItems": parts.len(),
            "maxItems": parts.len()
        }
    })
}

fn length(sign: Option<Sign>) -> Value {
    let mut number = json!({ "type": "number" });
    match sign {
        None => {}
        Some(Sign::NotNegative) => number["minimum"] = json!(0),
        Some(Sign::Positive) => number["exclusiveMinimum"] = json!(0),
    }
    json!({ "anyOf": [number, { "type": "string", "pattern": LENGTH_TEXT }] })
}

fn table(entry: &Entry) -> Value {
    let mut properties = Map::new();
    for key in entry.keys {
        properties.insert(key.name.into(), value(key));
    }
    let required: Vec<_> = entry
        .keys
        .iter()
        .filter(|key| key.absent == Absent::Required)
        .map(|key| key.name)
        .collect();
    let mut schema = json!({
        "type": "object",
        "description": entry.about,
        "properties": properties,
        "additionalProperties": false,
    });
    let needing = |names: &[&str]| -> Vec<Value> {
        names
            .iter()
            .map(|name| json!({ "required": [name] }))
            .collect()
    };
    if !required.is_empty() {
        schema["required"] = json!(required);
    }
    for [one, other] in entry.together {
        schema["dependentRequired"][*one] = json!([other]);
        schema["dependentRequired"][*other] = json!([one]);
    }
    if !entry.one_of.is_empty() {
        schema["oneOf"] = json!(needing(entry.one_of));
    }
    if !entry.some_of.is_empty() {
        schema["anyOf"] = json!(needing(entry.some_of));
    }
    schema
}

fn value(key: &Key) -> Value {
    let mut schema = match &key.kind {
        Kind::Line => json!({ "type": "string", "minLength": 1, "maxLength": 200 }),
        Kind::Id => json!({ "type": "string", "pattern": "^[A-Za-z0-9-]+$", "maxLength": 200 }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Word(words) => json!({ "enum": words }),
        Kind::Length(Sign::NotNegative) => reference("notNegative"),
        Kind::Length(Sign::Positive) => reference("positive"),
        Kind::Lengths => json!({ "type": "array", "items": reference("length") }),
        Kind::SquareMetres => json!({ "type": "number", "minimum": 0 }),
        Kind::Degrees => json!({ "type": "number", "minimum": -360, "maximum": 360 }),
        Kind::Point => reference("position"),
        Kind::Spot => json!({
            "anyOf": [
                {
                    "type": "array",
                    "items": { "type": "number" },
                    "minItems": 2,
                    "maxItems": 2
                },
                { "type": "string", "minLength": 1, "maxLength": 200 }
            ]
        }),
        Kind::Size => json!({
            "type": "array",
            "items": reference("positive"),
            "minItems": 2,
            "maxItems": 2
        }),
        Kind::Number | Kind::PerCent | Kind::Money => json!({ "type": "number", "minimum": 0 }),
        Kind::Count => json!({ "type": "integer", "minimum": 1 }),
        Kind::Counts => json!({
            "type": "array",
            "minItems": 1,
            "items": { "type": "integer", "minimum": 1 }
        }),
        Kind::Temperature => json!({ "type": ["number", "string"] }),
        Kind::Date => json!({ "type": "string", "pattern": "[0-9]" }),
        Kind::Clock => json!({ "type": "string", "pattern": "^[0-9]{1,2}:[0-9]{2}" }),
        Kind::Quantity(_) | Kind::Content => json!({ "type": "string", "minLength": 2 }),
        Kind::Three(_) => json!({
            "type": "array",
            "items": { "type": "string", "minLength": 2 },
            "minItems": 3,
            "maxItems": 3
        }),
        Kind::Words(words) => json!({ "type": "array", "items": { "enum": words } }),
        Kind::HalfBreadths => json!({
            "type": "array",
            "minItems": 2,
            "items": {
                "type": "array",
                "prefixItems": [reference("length"), reference("notNegative")],
                "minItems": 2,
                "maxItems": 2
            }
        }),
        Kind::Heights => list_of(&["length"; 2], 2),
        Kind::SpotHeights => list_of(&["length"; 3], 3),
        Kind::Ring(corner) => json!({
            "type": "array",
            "minItems": 2,
            "items": { "anyOf": [reference("position"), table(corner)] }
        }),
        Kind::Path => json!({ "type": "array", "minItems": 2, "items": reference("position") }),
        Kind::EdgeMargins => json!({
            "type": "object",
            "additionalProperties": reference("notNegative")
        }),
        Kind::Ties(tie) => json!({
            "type": "array",
            "minItems": 1,
            "items": { "anyOf": [
                {
                    "type": "array",
                    "prefixItems": [{ "type": "string" }, { "type": "string" }, reference("positive")],
                    "minItems": 3,
                    "maxItems": 3
                },
                table(tie)
            ] }
        }),
        Kind::SurveyPoints(point) => json!({
            "type": "object",
            "additionalProperties": { "anyOf": [
                reference("point"),
                { "enum": ["centreline", "port", "starboard"] },
                table(point)
            ] }
        }),
        Kind::Table(entry) => table(entry),
        Kind::Tables(entry) => json!({ "type": "array", "items": table(entry) }),
    };
    if let Kind::Tables(_) = key.kind
        && key.absent == Absent::Required
    {
        schema["minItems"] = json!(1);
    }
    schema["description"] = json!(key.about);
    match key.absent {
        Absent::Required | Absent::Nothing => {}
        Absent::Mm(mm) => schema["default"] = json!(format!("{mm} mm")),
        Absent::Number(number) => schema["default"] = json!(number),
        Absent::Flag(flag) => schema["default"] = json!(flag),
        Absent::Word(word) => schema["default"] = json!(word),
    }
    schema
}
