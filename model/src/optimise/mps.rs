//! The program in free-format MPS, as any mixed-integer solver reads it.
//!
//! Writes the program as it is, before any reduction, in the tight form: one row for each group that asks for a shared
//! thing. Never changes the program: the best choice of the file is the best choice of the instance.

use super::instance::Instance;
use std::fmt::Write;

/// Names for the file and the unit of its objective.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Labels {
    /// Name of the program.
    pub name: String,
    /// One for each group.
    pub groups: Vec<String>,
    /// One for each option of each group.
    pub options: Vec<Vec<String>>,
    /// One for each shared thing.
    pub shared: Vec<String>,
    /// How many whole cost units make one unit of the objective (a currency unit, an hour, a day), at least 1.
    pub per: i64,
}

impl Labels {
    /// Plain numbers as names, and costs as they are.
    pub fn numbered(instance: &Instance) -> Self {
        let numbers = |letter: char, count: usize| (0..count).map(|at| format!("{letter}{at}")).collect::<Vec<_>>();
        Self {
            name: "program".into(),
            groups: numbers('g', instance.groups.len()),
            options: instance.groups.iter().map(|group| numbers('o', group.options.len())).collect(),
            shared: numbers('s', instance.shared.len()),
            per: 1,
        }
    }
}

impl Instance {
    /// The program as text. An option is 0 or 1. What is shared costs as much as the greatest of the groups that ask for
    /// it, less what waives it; it needs no whole number, for with whole options its best value is one.
    ///
    /// # Panics
    /// If a name is missing in `labels`.
    pub fn to_mps(&self, labels: &Labels) -> String {
        let mut file = File::default();
        let choose: Vec<usize> = labels.groups.iter().map(|name| file.row('E', format!("one/{name}"), 1)).collect();
        let mut options: Vec<Vec<usize>> = Vec::with_capacity(self.groups.len());
        for (at, group) in self.groups.iter().enumerate() {
            let columns = group.options.iter().zip(&labels.options[at]).map(|(option, name)| {
                let column = file.column(format!("{}/{name}", labels.groups[at]), option.cost);
                file.put(column, choose[at], 1);
                column
            });
            options.push(columns.collect());
        }
        file.whole = file.columns.len();
        for (at, group) in self.groups.iter().enumerate() {
            for option in (0..group.options.len()).filter(|option| !self.open(at).any(|open| open == *option)) {
                file.fixed.push(options[at][option]);
            }
        }
        for (number, shared) in self.shared.iter().enumerate() {
            let name = &labels.shared[number];
            let pays = file.column(format!("pay/{name}"), shared.cost);
            let waived = (!shared.waivers.is_empty()).then(|| file.column(format!("waive/{name}"), 0));
            for (at, group) in self.groups.iter().enumerate() {
                let naming =
                    |waives: bool| {
                        let list = group.options.iter().zip(&options[at]);
                        list.filter(move |(option, _)| {
                            if waives { option.waives.contains(&number) } else { option.needs.contains(&number) }
                        })
                        .map(|(_, column)| *column)
                        .collect::<Vec<usize>>()
                    };
                let asking = naming(false);
                if !asking.is_empty() {
                    let row = file.row('G', format!("need/{name}/{}", labels.groups[at]), 0);
                    file.put(pays, row, 1);
                    asking.iter().for_each(|option| file.put(*option, row, -1));
                    waived.iter().for_each(|waived| file.put(*waived, row, 1));
                }
                if let Some(waived) = waived.filter(|_| shared.waivers.contains(&at)) {
                    let row = file.row('L', format!("only/{name}/{}", labels.groups[at]), 0);
                    file.put(waived, row, 1);
                    naming(true).iter().for_each(|option| file.put(*option, row, -1));
                }
            }
        }
        for (number, clash) in self.clashes.iter().enumerate() {
            let row = file.row('L', format!("clash/{number}"), 1);
            for (group, option) in [clash.one, clash.other] {
                file.put(options[group][option], row, 1);
            }
        }
        file.text(&labels.name, labels.per)
    }
}

#[derive(Default)]
struct File {
    rows: Vec<(char, String, i32)>,
    columns: Vec<Column>,
    /// So many columns from the first are 0 or 1.
    whole: usize,
    /// Columns that a hold rules out.
    fixed: Vec<usize>,
}

struct Column {
    name: String,
    cost: i64,
    entries: Vec<(usize, i32)>,
}

impl File {
    fn row(&mut self, sense: char, name: String, right: i32) -> usize {
        self.rows.push((sense, name, right));
        self.rows.len() - 1
    }

    fn column(&mut self, name: String, cost: i64) -> usize {
        self.columns.push(Column { name, cost, entries: Vec::new() });
        self.columns.len() - 1
    }

    fn put(&mut self, column: usize, row: usize, value: i32) {
        self.columns[column].entries.push((row, value));
    }

    fn text(&self, name: &str, per: i64) -> String {
        let mut out = format!("NAME {}\nROWS\n N cost\n", plain(name));
        for (sense, name, _) in &self.rows {
            let _ = writeln!(out, " {sense} {}", plain(name));
        }
        out.push_str("COLUMNS\n MARKER 'MARKER' 'INTORG'\n");
        for (at, column) in self.columns.iter().enumerate() {
            if at == self.whole {
                out.push_str(" MARKER 'MARKER' 'INTEND'\n");
            }
            let name = plain(&column.name);
            // Costs are far below 2^53; the quotient is the nearest double, as every reader of MPS takes it.
            #[allow(clippy::cast_precision_loss)]
            let cost = column.cost as f64 / per.max(1) as f64;
            let _ = writeln!(out, " {name} cost {cost}");
            for (row, value) in &column.entries {
                let _ = writeln!(out, " {name} {} {value}", plain(&self.rows[*row].1));
            }
        }
        if self.columns.len() == self.whole {
            out.push_str(" MARKER 'MARKER' 'INTEND'\n");
        }
        out.push_str("RHS\n");
        for (_, name, right) in self.rows.iter().filter(|(_, _, right)| *right != 0) {
            let _ = writeln!(out, " RHS {} {right}", plain(name));
        }
        out.push_str("BOUNDS\n");
        for (at, column) in self.columns.iter().enumerate() {
            let name = plain(&column.name);
            let _ = match at {
                _ if self.fixed.contains(&at) => writeln!(out, " FX BOUND {name} 0"),
                _ if at < self.whole => writeln!(out, " UP BOUND {name} 1"),
                _ if column.cost == 0 => writeln!(out, " UP BOUND {name} 1"),
                _ => Ok(()),
            };
        }
        out.push_str("ENDATA\n");
        out
    }
}

/// A name without blanks, which separate fields.
fn plain(name: &str) -> String {
    name.chars().map(|letter| if letter.is_whitespace() || letter.is_control() { '_' } else { letter }).collect()
}
