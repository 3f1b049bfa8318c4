//! Documents of earlier versions: those of one schema name stay readable, and nothing that a reader of
//! them relies on goes away or changes its type. Additions are free.

use std::collections::HashSet;
use std::fs;
use std::path::Path;

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use stillprop::compare;
use stillprop::debrief::document::{Debrief, SCHEMA};
use stillprop::fleet::document::FleetReport;
use stillprop::logbook::line_schema_json;
use stillprop::progress::document::{Overview, ProgressReport};
use stillprop::report::{schema_json, schema_json_of};

/// A file as version 0.1 wrote it: `debrief … --standard US-commercial-PO180`, `fleet`, `progress`, `compare`, a line
/// of `logbook export --format jsonl` over the samples, and `schema`.
fn kept(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/compatibility");
    fs::read_to_string(folder.join(name)).unwrap()
}

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

#[test]
fn a_document_of_version_0_1_is_read_and_loses_nothing() {
    let text = kept("debrief-0.1.json");
    let document: Debrief = serde_json::from_str(&text).unwrap();
    assert_eq!(document.schema, SCHEMA);
    assert!(!document.attempts.is_empty() && document.attempts[0].grade.is_some());
    let again = serde_json::to_value(&document).unwrap();
    let mut lost = Vec::new();
    holds(&again, &parsed(&text), "", &mut lost);
    assert!(lost.is_empty(), "\n{}", lost.join("\n"));
}

/// Every member of `old` is in `new`, with the same value.
fn holds(new: &Value, old: &Value, path: &str, lost: &mut Vec<String>) {
    match (new, old) {
        (Value::Object(new), Value::Object(old)) => {
            for (name, member) in old {
                let path = format!("{path}.{name}");
                match new.get(name) {
                    Some(other) => holds(other, member, &path, lost),
                    None => lost.push(format!("{path} is gone")),
                }
            }
        }
        (Value::Array(new), Value::Array(old)) if new.len() == old.len() => {
            for (index, (new, old)) in new.iter().zip(old).enumerate() {
                holds(new, old, &format!("{path}[{index}]"), lost);
            }
        }
        (Value::Number(new), Value::Number(old)) if new.as_f64() == old.as_f64() => {}
        (new, old) if new == old => {}
        (new, old) => lost.push(format!("{path}: {old} became {new}")),
    }
}

#[test]
fn a_document_of_version_0_1_fits_the_schema_of_today() {
    let schema = parsed(&schema_json());
    let document = parsed(&kept("debrief-0.1.json"));
    let mut faults = Vec::new();
    fits(&document, &schema, &schema, "", &mut faults);
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn the_schema_of_today_only_adds_to_that_of_version_0_1() {
    let (new, old) = (parsed(&schema_json()), parsed(&kept("schema-0.1.json")));
    let faults = breaks(&new, &old);
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

/// What version 0.1 wrote of one kind of document stays readable, with all that is in it.
#[track_caller]
fn stays<Document: Serialize + DeserializeOwned>(name: &str) {
    let old = parsed(&kept(&format!("{name}-0.1.json")));
    let document: Document = serde_json::from_value(old.clone()).unwrap();
    let again = serde_json::to_value(&document).unwrap();
    let mut lost = Vec::new();
    holds(&again, &old, "", &mut lost);
    assert!(lost.is_empty(), "{name}:\n{}", lost.join("\n"));
}

/// The schema of today takes a document of version 0.1, and only adds to the schema of that version.
#[track_caller]
fn only_grew(name: &str, today: &str) {
    let (today, old) = (
        parsed(today),
        parsed(&kept(&format!("schema-{name}-0.1.json"))),
    );
    let mut faults = breaks(&today, &old);
    let document = parsed(&kept(&format!("{name}-0.1.json")));
    fits(&document, &today, &today, "", &mut faults);
    assert!(faults.is_empty(), "{name}:\n{}", faults.join("\n"));
}

#[test]
fn documents_of_many_flights_of_version_0_1_are_read_and_lose_nothing() {
    stays::<FleetReport>("fleet");
    stays::<ProgressReport>("progress");
    stays::<Overview>("progress_overview");
    stays::<compare::Comparison>("compare");
}

#[test]
fn the_schemas_of_many_flights_only_add_to_those_of_version_0_1() {
    only_grew("fleet", &schema_json_of::<FleetReport>());
    only_grew("progress", &schema_json_of::<ProgressReport>());
    only_grew("progress_overview", &schema_json_of::<Overview>());
    only_grew("compare", &schema_json_of::<compare::Comparison>());
    only_grew("logbook_attempt", &line_schema_json());
}

#[test]
fn additions_are_free_and_removals_and_other_types_are_found() {
    let old = parsed(&kept("schema-0.1.json"));
    let change = |change: fn(&mut Value)| {
        let mut new = old.clone();
        change(&mut new);
        breaks(&new, &old)
    };
    let added = change(|s| s["properties"]["later"] = json!({"type": "string"}));
    assert!(added.is_empty(), "{added:?}");
    let described = change(|s| s["properties"]["program"]["description"] = json!("other words"));
    assert!(described.is_empty(), "{described:?}");
    for (what, found) in [
        (
            "is gone",
            change(|s| drop(s["properties"].as_object_mut().unwrap().remove("warnings"))),
        ),
        (
            "type",
            change(|s| s["$defs"]["Attempt"]["properties"]["number"]["type"] = json!("string")),
        ),
        (
            "type",
            change(|s| {
                s["$defs"]["Series"]["properties"]["cas_kt"]["items"]["type"] = json!("null");
            }),
        ),
        (
            "is gone",
            change(|s| {
                s["$defs"]["Ending"]["oneOf"]
                    .as_array_mut()
                    .unwrap()
                    .truncate(1);
            }),
        ),
        (
            "must be there now",
            change(|s| {
                s["properties"]["later"] = json!({"type": "string"});
                s["required"].as_array_mut().unwrap().push(json!("later"));
            }),
        ),
        (
            "need not be there any more",
            change(|s| s["required"] = json!([])),
        ),
    ] {
        assert!(
            found.iter().any(|fault| fault.contains(what)),
            "{what}: {found:?}"
        );
    }
    let mut document = parsed(&kept("debrief-0.1.json"));
    document["attempts"][0]["number"] = json!("one");
    document["attempts"][0]["unheard_of"] = json!(1);
    let mut faults = Vec::new();
    fits(&document, &old, &old, "", &mut faults);
    assert_eq!(faults.len(), 2, "{faults:?}");
}

/// The schema a reference leads to, within `root`.
fn resolved<'a>(schema: &'a Value, root: &'a Value) -> &'a Value {
    match schema.get("$ref").and_then(Value::as_str) {
        Some(reference) => root.pointer(reference.trim_start_matches('#')).unwrap(),
        None => schema,
    }
}

fn list(value: Option<&Value>) -> Vec<&Value> {
    match value {
        Some(Value::Array(members)) => members.iter().collect(),
        Some(other) => vec![other],
        None => Vec::new(),
    }
}

/// What of `value` is not as `schema` has it. Knows the words of JSON Schema 2020-12 that `schemars` uses here;
/// a member the schema does not name is a fault.
fn fits(value: &Value, schema: &Value, root: &Value, path: &str, faults: &mut Vec<String>) {
    let schema = resolved(schema, root);
    for word in ["anyOf", "oneOf"] {
        let choices = list(schema.get(word));
        let fitting = choices.iter().any(|choice| {
            let mut faults = Vec::new();
            fits(value, choice, root, path, &mut faults);
            faults.is_empty()
        });
        if !choices.is_empty() && !fitting {
            faults.push(format!("{path}: {value} fits none of the choices"));
        }
    }
    if schema.get("const").is_some_and(|only| only != value) {
        faults.push(format!("{path}: {value} is another value"));
    }
    let types = list(schema.get("type"));
    let is = |name: &Value| match name.as_str() {
        Some("object") => value.is_object(),
        Some("array") => value.is_array(),
        Some("string") => value.is_string(),
        Some("number") => value.is_number(),
        Some("integer") => value.is_u64() || value.is_i64(),
        Some("boolean") => value.is_boolean(),
        Some("null") => value.is_null(),
        _ => false,
    };
    if !types.is_empty() && !types.into_iter().any(is) {
        faults.push(format!("{path}: {value} is of another type"));
    }
    if let (Value::Object(members), Some(Value::Object(properties))) =
        (value, schema.get("properties"))
    {
        for name in list(schema.get("required")) {
            if !members.contains_key(name.as_str().unwrap()) {
                faults.push(format!("{path}.{name} is missing"));
            }
        }
        for (name, member) in members {
            match properties.get(name) {
                Some(property) => fits(member, property, root, &format!("{path}.{name}"), faults),
                None => faults.push(format!("{path}.{name} is not in the schema")),
            }
        }
    } else if let (Value::Object(members), Some(any)) = (value, schema.get("additionalProperties"))
    {
        for (name, member) in members {
            fits(member, any, root, &format!("{path}.{name}"), faults);
        }
    }
    if let (Value::Array(members), Some(items)) = (value, schema.get("items")) {
        for (index, member) in members.iter().enumerate() {
            fits(member, items, root, &format!("{path}[{index}]"), faults);
        }
    }
}

/// What a reader of documents of `old` would miss in those of `new`, or the other way round.
fn breaks(new: &Value, old: &Value) -> Vec<String> {
    let mut walk = Comparison {
        roots: (new, old),
        seen: HashSet::new(),
        faults: Vec::new(),
    };
    walk.compare(new, old, "");
    walk.faults
}

struct Comparison<'a> {
    roots: (&'a Value, &'a Value),
    /// References gone into, so that each is compared once.
    seen: HashSet<(String, String)>,
    faults: Vec<String>,
}

impl<'a> Comparison<'a> {
    fn compare(&mut self, new: &'a Value, old: &'a Value, path: &str) {
        let reference = |schema: &Value| schema.get("$ref").map(ToString::to_string);
        if let (Some(new), Some(old)) = (reference(new), reference(old))
            && !self.seen.insert((new, old))
        {
            return;
        }
        let (new, old) = (resolved(new, self.roots.0), resolved(old, self.roots.1));
        let types = |schema: &'a Value| -> HashSet<String> {
            list(schema.get("type"))
                .iter()
                .map(ToString::to_string)
                .collect()
        };
        if types(new) != types(old) {
            self.faults.push(format!(
                "{path}: type {:?} became {:?}",
                types(old),
                types(new)
            ));
        }
        if old.get("const").is_some() && old.get("const") != new.get("const") {
            self.faults.push(format!("{path}: another value"));
        }
        self.members(new, old, path);
        for word in ["items", "additionalProperties"] {
            match (new.get(word), old.get(word)) {
                (Some(new), Some(old)) => self.compare(new, old, &format!("{path}[]")),
                (None, None) => {}
                _ => self.faults.push(format!("{path}: `{word}` came or went")),
            }
        }
        // Values of a kind, told apart by themselves: more may come.
        for old in list(old.get("oneOf")) {
            let stays = |new: &&&Value| new.get("const") == old.get("const");
            if list(new.get("oneOf")).iter().find(stays).is_none() {
                self.faults
                    .push(format!("{path}: the value {:?} is gone", old.get("const")));
            }
        }
        let (new, old) = (list(new.get("anyOf")), list(old.get("anyOf")));
        if new.len() != old.len() {
            self.faults
                .push(format!("{path}: other choices, so another type"));
        }
        for (new, old) in new.into_iter().zip(old) {
            self.compare(new, old, path);
        }
    }

    fn members(&mut self, new: &'a Value, old: &'a Value, path: &str) {
        let required = |schema: &'a Value| -> HashSet<&'a str> {
            let names = list(schema.get("required"));
            names.into_iter().filter_map(Value::as_str).collect()
        };
        for name in required(new).difference(&required(old)) {
            self.faults.push(format!("{path}.{name} must be there now"));
        }
        for name in required(old).difference(&required(new)) {
            self.faults
                .push(format!("{path}.{name} need not be there any more"));
        }
        let Some(Value::Object(properties)) = old.get("properties") else {
            return;
        };
        for (name, property) in properties {
            let path = format!("{path}.{name}");
            match new.get("properties").and_then(|p| p.get(name)) {
                Some(other) => self.compare(other, property, &path),
                None => self.faults.push(format!("{path} is gone")),
            }
        }
    }
}
