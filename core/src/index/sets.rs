//! Which sets are listed.

use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};

use crate::hose::Label;
use crate::journal::StoreError;
use crate::policy::Use;
use crate::record::{SetRecord, folded};

/// Which sets are listed: those for which all of it is so.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SetFilter {
    /// How their name begins, in capitals or small letters; an empty text is any.
    pub begins: String,
    /// The branch where they work.
    pub branch: Option<Label>,
    /// Who dives with them.
    pub in_use: Option<Use>,
    /// They are with a hirer.
    pub out: bool,
}

/// A part of a query: its conditions, and their values.
struct Query {
    conditions: Vec<&'static str>,
    values: Vec<Value>,
}

impl Query {
    fn of(filter: &SetFilter) -> Self {
        let mut query = Self { conditions: vec!["name IS NOT NULL"], values: Vec::new() };
        let text = |text: String| Value::Text(text);
        if let Some(branch) = &filter.branch {
            query.add("branch = ?", text(folded(branch)));
        }
        if let Some(in_use) = filter.in_use {
            query.add("json_extract(record, '$.use') = ?", text(in_use.word().to_owned()));
        }
        if filter.out {
            query.conditions.push("json_extract(record, '$.out') IS NOT NULL");
        }
        if !filter.begins.is_empty() {
            let begins = filter.begins.to_lowercase();
            query.add("name >= ?", text(begins.clone()));
            query.add("name < ?", text(format!("{begins}\u{10FFFF}")));
        }
        query
    }

    fn add(&mut self, condition: &'static str, value: Value) {
        self.conditions.push(condition);
        self.values.push(value);
    }

    fn sql(&self, what: &str, rest: &str) -> String {
        format!("SELECT {what} FROM regulator_set WHERE {} {rest}", self.conditions.join(" AND "))
    }

    fn count(&self) -> String {
        self.sql("count(*)", "")
    }

    fn page(&self) -> String {
        self.sql("record", "ORDER BY name, regulator_set LIMIT ? OFFSET ?")
    }
}

/// How many sets there are, and a part of them, by name.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn sets(
    connection: &Connection,
    filter: &SetFilter,
    (from, most): (u64, u64),
) -> Result<(u64, Vec<SetRecord>), StoreError> {
    let query = Query::of(filter);
    let mut values = query.values.clone();
    let total = connection
        .prepare_cached(&query.count())?
        .query_row(params_from_iter(&values), |row| row.get(0))?;
    let page = |n: u64| Value::Integer(i64::try_from(n).unwrap_or(i64::MAX));
    values.extend([page(most), page(from)]);
    let mut statement = connection.prepare_cached(&query.page())?;
    let texts = statement.query_map(params_from_iter(&values), |row| row.get::<_, String>(0))?;
    let texts: Vec<String> = texts.collect::<Result<_, _>>()?;
    let parse = |text: &String| {
        serde_json::from_str(text).map_err(|e| StoreError::Unreadable(e.to_string()))
    };
    Ok((total, texts.iter().map(parse).collect::<Result<_, _>>()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::index::ask::tests::{plan, store};
    use crate::story::label;

    #[test]
    fn every_filter_of_sets_searches_an_index() {
        let (_folder, store) = store();
        let all = SetFilter::default;
        for filter in [
            all(),
            SetFilter { branch: Some(label("Harbour")), ..all() },
            SetFilter { in_use: Some(Use::Rental), ..all() },
            SetFilter { in_use: Some(Use::Personal), begins: "r".into(), ..all() },
            SetFilter { out: true, ..all() },
            SetFilter { out: true, branch: Some(label("Harbour")), ..all() },
            SetFilter { begins: "r".into(), ..all() },
        ] {
            let query = Query::of(&filter);
            for sql in [query.count(), query.page()] {
                let plan = plan(&store, &sql);
                // One index holds nothing but the sets that are out.
                let few = |line: &String| line.contains("INDEX set_out");
                let searched = plan.iter().all(|line| !line.starts_with("SCAN") || few(line));
                let sorted = plan.iter().any(|line| line.contains("TEMP B-TREE"));
                assert!(searched && !sorted, "{filter:?}: {plan:?}");
            }
        }
    }
}
