//! Splitting the app's wasm file in two: what the first screen needs, and the rest, which is brought after it.
//!
//! The modules of the later screens are named here. What only they reach, by calls or by the methods of a `dyn` type, comes
//! with the rest (`reach`), and so do what of the app's state only an event of the page sets going, and the built-in books. In the first
//! part a call to a chosen function goes through a table that the rest fills when it arrives; a call before that asks
//! the page for the rest (`app/load.js`) and waits. So a wrong choice costs time, never a result.
//! Must never change what a function does.

use std::collections::{BTreeMap, BTreeSet};

use crate::failure::Failure;
use crate::reach::Graph;
use crate::wasm::{self, Module, Read, put, put_custom, put_name, put_section, put_signed};

/// Functions of these modules come with the rest: all that a job on the screen needs and the gate does not.
const LATER: &[&str] = &[
    "app::state::backup",
    "app::state::photos",
    "app::state::sealed",
    "app::screens::unlock",
    "app::platform::journal::again",
    "app::platform::idle",
    "app::platform::parcel",
    "app::screens::walk",
    "app::screens::plan",
    "app::screens::joints",
    "app::screens::shop",
    "app::screens::photos",
    "app::capture",
    "app::thumb",
    "app::platform::camera",
    "app::canvas",
    "app::decided",
    "app::verdict",
    "app::joining",
    "app::rule_book",
    "app::charges",
    "app::time_book",
    "app::weighed",
];
/// Functions that read what is kept, by a part of their names: nothing is kept where the first screen is the first of all,
/// and whoever was here before gets both parts at once (`app/load.js`).
const OF_KEPT: &[&str] = &[
    "AppState>::settle_lock",
    "AppState>::take_settings",
    "AppState>::fetch",
    "JobCard>::read",
    "Keeper>::compact",
    "Settings as serde_core::de::Deserialize>::deserialize::<serde_json::value::Value>",
];
/// Modules of the model that the gate needs; the others come with the rest.
const MODEL_FIRST: &[&str] = &[
    "words",
    "terms",
    "ids",
    "error",
    "job::state",
    "job::stamp",
    "job::recover",
    "job::keep",
    "job::store",
    "backup::due",
];
/// What mentions one of these is never moved, whatever else it mentions.
const FIRST: &[&str] = &["app::shell", "app::planned", "app::screens::gate"];
/// These read a constant that comes with the rest, so they always do. Each constant begins with [`MARK`].
const ALWAYS_LATER: &str = "model::words::later::";
/// How a constant begins that comes with the rest; its length without this line follows in eight digits, then `:\n`.
const MARK: &[u8] = b"CUTLINE-LATER:";
/// What of this only an event of the page sets going comes with the rest: the state does nothing for the first screen that
/// the start does not call.
const STATE: &str = "app::state";
/// Bytes of a body that is not worth a detour.
const SMALL: usize = 160;
/// Bytes of the longest functions of the framework of which the compiler keeps one for many closures.
const MERGED: usize = 500;
/// The page's function that brings the rest, as part of the import's name.
const BRING: &str = "cutlineRest";
/// Set, it leaves the names of functions in the first part: a stack then tells which of them asked for the rest.
const NAMES: &str = "CUTLINE_KEEP_NAMES";
/// Name under which the rest imports from the first part.
const FROM: &str = "p";

const FUNC: u8 = 0;
const TABLE: u8 = 1;
const MEMORY: u8 = 2;
const GLOBAL: u8 = 3;

/// Splits a module; `blobs` are constants that come with the rest.
///
/// # Errors
/// Where the module holds something unknown, has no names, or does not import the page's function.
pub fn split(bytes: &[u8], blobs: &[Vec<u8>]) -> Result<(Vec<u8>, Vec<u8>), Failure> {
    let module = Module::read(bytes)?;
    if module.names.is_empty() {
        return Err(Failure::new("the wasm file has no names", "keep `strip = \"debuginfo\"` in Cargo.toml"));
    }
    let bring = module.imports.iter().position(|import| import.name.contains(BRING)).ok_or_else(|| {
        Failure::new(format!("the app does not import {BRING}"), "keep app/src/platform/rest.rs, which does")
    })?;
    let plan = Plan::new(&module, bring as u32)?;
    let mut blobs = blobs.to_vec();
    for text in marked(&module.data)? {
        if !plan.moved.iter().any(|function| module.names.get(function).is_some_and(|name| always_later(name))) {
            return Err(Failure::new("no function reads the later texts", "look at model/src/words/later.rs"));
        }
        blobs.push(text);
    }
    let blobs = &blobs;
    let (data_first, data_rest) = divided(&module.data, blobs);
    Ok((plan.first(&data_first), plan.rest(&data_rest)))
}

/// Which function goes where.
struct Plan<'m> {
    module: &'m Module,
    references: Vec<Vec<(usize, usize, u32)>>,
    moved: BTreeSet<u32>,
    /// Moved functions that the first part names, with their place in the table.
    entries: BTreeMap<u32, u32>,
    /// Functions of the first part that moved ones name, in order.
    needed: BTreeSet<u32>,
    bring: u32,
}

impl<'m> Plan<'m> {
    fn new(module: &'m Module, bring: u32) -> Read<Self> {
        let references: Vec<_> =
            module.bodies.iter().map(|body| Ok(wasm::mentions(body)?.calls)).collect::<Read<_>>()?;
        let first_own = module.imported();
        let own = |at: usize| at as u32 + first_own;
        let mut named: BTreeSet<u32> = module.elements.iter().flat_map(|(_, list)| list.iter().copied()).collect();
        named.extend(module.exports.iter().filter(|(_, kind, _)| *kind == FUNC).map(|(.., index)| *index));
        named.extend(module.start);
        let mut callers: BTreeMap<u32, BTreeSet<u32>> = BTreeMap::new();
        for (at, list) in references.iter().enumerate() {
            for (.., function) in list {
                callers.entry(*function).or_default().insert(own(at));
            }
        }
        let mut moved: BTreeSet<u32> =
            module.names.iter().filter(|(at, name)| **at >= first_own && later(name)).map(|(at, _)| *at).collect();
        // Of many equal functions the compiler keeps one, under the name of any of them, so a name alone may mislead. What
        // the app's own first functions call stays unless its own module is a later one; so does what the first part
        // names and what is no longer than a detour.
        let own_code = |function: &u32| module.names.get(function).is_some_and(|name| name.starts_with("app["));
        loop {
            let stays = |function: &u32| {
                if module.names.get(function).is_some_and(|name| always_later(name)) {
                    return false;
                }
                let mut outside = callers.get(function).into_iter().flatten().filter(|caller| !moved.contains(caller));
                if module.bodies[(function - first_own) as usize].len() <= SMALL {
                    return named.contains(function) || outside.next().is_some();
                }
                if later(own_path(&module.names[function])) || of_kept(&module.names[function]) {
                    return false;
                }
                // The framework's: nothing of a later module is in it when it calls nothing of one.
                let calls_later = || {
                    let list = &references[(function - first_own) as usize];
                    list.iter().any(|(.., callee)| {
                        moved.contains(callee) && module.names.get(callee).is_some_and(|name| later(own_path(name)))
                    })
                };
                outside.any(own_code)
                    || (named.contains(function)
                        && module.bodies[(function - first_own) as usize].len() <= MERGED
                        && !calls_later())
            };
            let staying: Vec<u32> = moved.iter().filter(|function| stays(function)).copied().collect();
            if staying.is_empty() {
                break;
            }
            staying.iter().for_each(|function| _ = moved.remove(function));
        }
        // Whatever only moved functions reach goes with them.
        let graph = Graph::new(module)?;
        let is = |what: fn(&str) -> bool| {
            let module = &module;
            move |function: u32| module.names.get(&function).is_some_and(|name| what(name))
        };
        let heard = graph.of_types(is(hears));
        let of_state = is(|name| own_path(&plain(name)).starts_with(STATE));
        let mut listening = BTreeSet::new();
        let mut reached = graph.reached(|function| {
            let hears = heard.contains(&function);
            if hears {
                listening.insert(function);
            }
            !hears && !moved.contains(&function)
        });
        graph.go_on(&mut reached, listening, |function| !moved.contains(&function) && !of_state(function));
        moved.extend((0..module.bodies.len()).map(own).filter(|function| !reached.contains(function)));
        let outside =
            |function: &u32| named.contains(function) || !callers.get(function).is_none_or(|c| c.is_subset(&moved));
        let entries = moved.iter().filter(|function| outside(function)).copied().zip(0..).collect();
        let called = |function: &u32| references[(function - first_own) as usize].iter().map(|(.., callee)| *callee);
        let needed = moved.iter().flat_map(called).filter(|callee| !moved.contains(callee)).collect();
        Ok(Self { module, references, moved, entries, needed, bring })
    }

    fn stays(&self, function: u32) -> bool {
        !self.moved.contains(&function) || self.entries.contains_key(&function)
    }

    /// The type of a function.
    fn of_type(&self, function: u32) -> u32 {
        let imports = &self.module.imports;
        imports
            .get(function as usize)
            .map_or_else(|| self.module.functions[function as usize - imports.len()], |import| import.of_type)
    }

    /// The functions of a module with this type of no parameters and results; the types may need it added.
    fn types(&self) -> (Vec<Vec<u8>>, u32) {
        let mut types: Vec<Vec<u8>> = self.module.types.iter().map(|(bytes, _)| bytes.clone()).collect();
        let nothing = vec![0x60, 0, 0];
        let at = types.iter().position(|one| *one == nothing).unwrap_or(types.len());
        if at == types.len() {
            types.push(nothing);
        }
        (types, at as u32)
    }

    /// A body with its functions numbered anew.
    fn renumbered(&self, function: u32, index: &BTreeMap<u32, u32>) -> Vec<u8> {
        let at = (function - self.module.imported()) as usize;
        let body = &self.module.bodies[at];
        let (mut out, mut from) = (Vec::with_capacity(body.len()), 0);
        for (start, end, callee) in &self.references[at] {
            out.extend(&body[from..*start]);
            put(&mut out, index[callee]);
            from = *end;
        }
        out.extend(&body[from..]);
        with_length(&out)
    }

    /// The numbers of what the page and the rest share beyond functions: the table of entries and the mark "whole".
    fn shared(&self) -> (u32, u32) {
        (self.module.tables.len() as u32, self.module.globals.len() as u32)
    }

    fn entry_table(&self) -> Vec<u8> {
        let mut table = vec![0x70, 1];
        put(&mut table, self.entries.len() as u32);
        put(&mut table, self.entries.len() as u32);
        table
    }

    /// What the rest imports besides functions, in order: kind, index, and the bytes of its type.
    fn common(&self) -> Vec<(u8, u32, Vec<u8>)> {
        let mut out = Vec::new();
        let tables = self.module.tables.iter().cloned().chain([self.entry_table()]);
        out.extend(tables.zip(0..).map(|(bytes, at)| (TABLE, at, bytes)));
        out.extend(self.module.memories.iter().cloned().zip(0..).map(|(bytes, at)| (MEMORY, at, bytes)));
        let globals = self.module.globals.iter().map(|(of_type, _)| *of_type).chain([[0x7f, 1]]);
        out.extend(globals.zip(0..).map(|(of_type, at)| (GLOBAL, at, of_type.to_vec())));
        out
    }

    /// The first part.
    fn first(&self, data: &[Placed]) -> Vec<u8> {
        let module = self.module;
        let own = module.imported()..module.imported() + module.functions.len() as u32;
        let list: Vec<u32> = own.filter(|function| self.stays(*function)).collect();
        let check = module.imported() + list.len() as u32;
        let index: BTreeMap<u32, u32> = (0..module.imported()).chain(list.iter().copied()).zip(0..).collect();
        let (types, nothing) = self.types();
        let (entry_table, whole) = self.shared();
        let imports: Vec<Vec<u8>> =
            module.imports.iter().map(|one| import(&one.module, &one.name, FUNC, &number(one.of_type))).collect();
        let functions: Vec<Vec<u8>> =
            list.iter().map(|one| number(self.of_type(*one))).chain([number(nothing)]).collect();
        let mut tables = module.tables.clone();
        tables.push(self.entry_table());
        let mut globals: Vec<Vec<u8>> = module.globals.iter().map(|(_, bytes)| bytes.clone()).collect();
        globals.push(vec![0x7f, 1, 0x41, 0, 0x0b]);
        let mut exports: Vec<Vec<u8>> = module
            .exports
            .iter()
            .map(|(name, kind, at)| export(name, *kind, if *kind == FUNC { index[at] } else { *at }))
            .collect();
        let functions_needed = self.needed.iter().map(|function| (FUNC, index[function]));
        let common = self.common().into_iter().map(|(kind, at, _)| (kind, at));
        exports.extend(functions_needed.chain(common).enumerate().map(|(at, (kind, to))| export(&short(at), kind, to)));
        let elements: Vec<Vec<u8>> = module
            .elements
            .iter()
            .map(|(offset, list)| element(&[0], *offset, list.iter().map(|function| index[function])))
            .collect();
        let body = |function: &u32| match self.entries.get(function) {
            Some(slot) => self.detour(*function, *slot, check, entry_table),
            None => self.renumbered(*function, &index),
        };
        // global.get whole; i32.eqz; if; i32.const 1; call bring; end
        let mut asking = vec![0, 0x23];
        put(&mut asking, whole);
        asking.extend([0x45, 0x04, 0x40, 0x41, 1, 0x10]);
        put(&mut asking, index[&self.bring]);
        asking.extend([0x0b, 0x0b]);
        let bodies: Vec<Vec<u8>> = list.iter().map(body).chain([with_length(&asking)]).collect();
        let mut out = b"\0asm\x01\0\0\0".to_vec();
        put_section(&mut out, wasm::TYPE, &types);
        put_section(&mut out, wasm::IMPORT, &imports);
        put_section(&mut out, wasm::FUNCTION, &functions);
        put_section(&mut out, wasm::TABLE, &tables);
        put_section(&mut out, wasm::MEMORY, &module.memories);
        put_section(&mut out, wasm::GLOBAL, &globals);
        put_section(&mut out, wasm::EXPORT, &exports);
        if let Some(start) = module.start {
            put_start(&mut out, index[&start]);
        }
        put_section(&mut out, wasm::ELEMENT, &elements);
        put_section(&mut out, wasm::CODE, &bodies);
        put_section(&mut out, wasm::DATA, &data_entries(data));
        if std::env::var_os(NAMES).is_some() {
            put_names(&mut out, index.iter().filter_map(|(old, new)| Some((*new, module.names.get(old)?.as_str()))));
        }
        out
    }

    /// In place of a moved function: see that the rest is there, then call it through the table.
    fn detour(&self, function: u32, slot: u32, check: u32, table: u32) -> Vec<u8> {
        let of_type = self.of_type(function);
        let mut body = vec![0, 0x10];
        put(&mut body, check);
        for parameter in 0..self.module.types[of_type as usize].1 {
            body.push(0x20);
            put(&mut body, parameter);
        }
        body.push(0x41);
        put_signed(&mut body, slot as i32);
        body.push(0x11);
        put(&mut body, of_type);
        put(&mut body, table);
        body.push(0x0b);
        with_length(&body)
    }

    /// The rest.
    fn rest(&self, data: &[Placed]) -> Vec<u8> {
        let index: BTreeMap<u32, u32> = self.needed.iter().chain(&self.moved).copied().zip(0..).collect();
        let (types, nothing) = self.types();
        let (entry_table, whole) = self.shared();
        let functions_needed = self.needed.iter().map(|function| (FUNC, number(self.of_type(*function))));
        let common = self.common().into_iter().map(|(kind, _, bytes)| (kind, bytes));
        let imports: Vec<Vec<u8>> = functions_needed
            .chain(common)
            .enumerate()
            .map(|(at, (kind, bytes))| import(FROM, &short(at), kind, &bytes))
            .collect();
        let functions: Vec<Vec<u8>> =
            self.moved.iter().map(|one| number(self.of_type(*one))).chain([number(nothing)]).collect();
        let mut entries = vec![2];
        put(&mut entries, entry_table);
        put_offset(&mut entries, 0);
        entries.push(0);
        put(&mut entries, self.entries.len() as u32);
        self.entries.keys().for_each(|function| put(&mut entries, index[function]));
        // i32.const 1; global.set whole
        let mut done = vec![0, 0x41, 1, 0x24];
        put(&mut done, whole);
        done.push(0x0b);
        let bodies: Vec<Vec<u8>> =
            self.moved.iter().map(|one| self.renumbered(*one, &index)).chain([with_length(&done)]).collect();
        let mut out = b"\0asm\x01\0\0\0".to_vec();
        put_section(&mut out, wasm::TYPE, &types);
        put_section(&mut out, wasm::IMPORT, &imports);
        put_section(&mut out, wasm::FUNCTION, &functions);
        put_start(&mut out, index.len() as u32);
        put_section(&mut out, wasm::ELEMENT, &[entries]);
        put_section(&mut out, wasm::CODE, &bodies);
        put_section(&mut out, wasm::DATA, &data_entries(data));
        out
    }
}

/// The constants that begin with the mark.
fn marked(data: &[Placed]) -> Read<Vec<Vec<u8>>> {
    let mut out = Vec::new();
    for (_, bytes) in data {
        let mut from = 0;
        while let Some(found) = bytes[from..].windows(MARK.len()).position(|window| window == MARK) {
            let begin = from + found;
            let digits = bytes.get(begin + MARK.len()..begin + MARK.len() + 8).unwrap_or_default();
            from = begin + MARK.len();
            // The mark alone, as the model's own check of it, is no constant to move.
            let Some(length) = std::str::from_utf8(digits).ok().and_then(|digits| digits.parse::<usize>().ok()) else {
                continue;
            };
            let end = from + 10 + length;
            out.push(bytes.get(begin..end).ok_or_else(|| wasm::strange("a later text that is cut off"))?.to_vec());
            from = end;
        }
    }
    Ok(out)
}

/// Whether a function is made for a closure that hears an event of the page.
fn hears(name: &str) -> bool {
    let plain = plain(name);
    plain.contains("call_once::{shim:vtable") && plain.contains("FnOnce<(web_sys::features::gen_")
}

/// Whether a function comes with the rest whatever calls it.
fn always_later(name: &str) -> bool {
    plain(name).contains(ALWAYS_LATER)
}

/// The path that a name begins with: `<a::B<c::D> as e::F>::g` begins with `a::B`.
fn own_path(name: &str) -> &str {
    let inner = name.trim_start_matches(|letter: char| !letter.is_alphanumeric()).trim_start_matches("mut ");
    let mut depth = 0_i32;
    let end = inner.find(|letter: char| {
        depth += i32::from(letter == '[') - i32::from(letter == ']');
        depth <= 0 && !(letter.is_alphanumeric() || matches!(letter, '_' | ':' | ']'))
    });
    &inner[..end.unwrap_or(inner.len())]
}

/// Whether a function is one of [`OF_KEPT`], or a closure in it.
fn of_kept(name: &str) -> bool {
    let plain = plain(name);
    OF_KEPT.iter().any(|method| {
        plain.split_once(method).is_some_and(|(before, after)| {
            // The method itself, not what is made for a type or closure of it.
            !before.contains("::<") && !after.starts_with(char::is_alphanumeric) && !after.starts_with('_')
        })
    })
}

/// A name without the hashes of the crates, which stand in brackets.
fn plain(name: &str) -> String {
    let mut plain = String::with_capacity(name.len());
    let mut rest = name;
    while let Some((before, after)) = rest.split_once('[') {
        plain.push_str(before);
        let hash = after.split(']').next().unwrap_or_default();
        let is_hash = hash.len() > 8 && hash.bytes().all(|digit| digit.is_ascii_hexdigit());
        if is_hash {
            rest = &after[hash.len() + 1..];
        } else {
            plain.push('[');
            rest = after;
        }
    }
    plain.push_str(rest);
    plain
}

/// Whether a function of this name comes with the rest.
fn later(name: &str) -> bool {
    let plain = plain(name);
    if plain.contains(ALWAYS_LATER) || of_kept(name) {
        return true;
    }
    if FIRST.iter().any(|module| plain.contains(module)) {
        return false;
    }
    // Own code of a later module, or what the framework makes for a closure or component of it. Not what is made for a
    // type of it: of such functions the compiler keeps one for all types.
    let own = own_path(&plain);
    let of_model = own.strip_prefix("model::").is_some_and(|module| {
        !MODEL_FIRST.iter().any(|first| module.strip_prefix(first).is_some_and(|tail| tail.starts_with("::")))
    });
    let code = |at: usize| {
        let path = &plain[at..];
        let path = &path
            [..path.find(|letter: char| !(letter.is_alphanumeric() || "_:".contains(letter))).unwrap_or(path.len())];
        path.contains("__component") || plain[at + path.len()..].starts_with("{closure")
    };
    of_model
        || LATER.iter().any(|module| own.starts_with(module) || plain.match_indices(module).any(|(at, _)| code(at)))
}

/// Bytes and their address.
type Placed = (i32, Vec<u8>);

/// Cuts the blobs out of the data: what stays, and the blobs at their places.
fn divided(data: &[Placed], blobs: &[Vec<u8>]) -> (Vec<Placed>, Vec<Placed>) {
    let (mut stay, mut go) = (data.to_vec(), Vec::new());
    for blob in blobs.iter().filter(|blob| !blob.is_empty()) {
        let place = stay.iter().enumerate().find_map(|(at, (_, bytes))| {
            let found = bytes.windows(blob.len()).position(|window| window == blob.as_slice())?;
            Some((at, found))
        });
        let Some((at, found)) = place else { continue };
        let (offset, bytes) = stay.remove(at);
        let end = found + blob.len();
        stay.insert(at, (offset + end as i32, bytes[end..].to_vec()));
        stay.insert(at, (offset, bytes[..found].to_vec()));
        go.push((offset + found as i32, blob.clone()));
    }
    stay.retain(|(_, bytes)| !bytes.is_empty());
    (stay, go)
}

/// The short name under which a shared thing is exported; no name of wasm-bindgen's begins so.
fn short(at: usize) -> String {
    format!("~{at:x}")
}

fn number(value: u32) -> Vec<u8> {
    let mut out = Vec::new();
    put(&mut out, value);
    out
}

fn with_length(body: &[u8]) -> Vec<u8> {
    let mut out = number(body.len() as u32);
    out.extend(body);
    out
}

fn import(module: &str, name: &str, kind: u8, bytes: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    put_name(&mut out, module);
    put_name(&mut out, name);
    out.push(kind);
    out.extend(bytes);
    out
}

fn export(name: &str, kind: u8, index: u32) -> Vec<u8> {
    let mut out = Vec::new();
    put_name(&mut out, name);
    out.push(kind);
    put(&mut out, index);
    out
}

fn put_offset(to: &mut Vec<u8>, offset: i32) {
    to.push(0x41);
    put_signed(to, offset);
    to.push(0x0b);
}

fn element(flags: &[u8], offset: i32, functions: impl ExactSizeIterator<Item = u32>) -> Vec<u8> {
    let mut out = flags.to_vec();
    put_offset(&mut out, offset);
    put(&mut out, functions.len() as u32);
    functions.for_each(|function| put(&mut out, function));
    out
}

fn data_entries(data: &[Placed]) -> Vec<Vec<u8>> {
    let entry = |(offset, bytes): &Placed| {
        let mut out = vec![0];
        put_offset(&mut out, *offset);
        put(&mut out, bytes.len() as u32);
        out.extend(bytes);
        out
    };
    data.iter().map(entry).collect()
}

fn put_names<'n>(to: &mut Vec<u8>, names: impl Iterator<Item = (u32, &'n str)>) {
    let mut table = Vec::new();
    let mut count = 0;
    for (index, name) in names {
        put(&mut table, index);
        put_name(&mut table, name);
        count += 1;
    }
    let mut functions = number(count);
    functions.extend(table);
    let mut inner = vec![1];
    inner.extend(with_length(&functions));
    put_custom(to, "name", &inner);
}

fn put_start(to: &mut Vec<u8>, function: u32) {
    let inner = number(function);
    to.push(wasm::START);
    put(to, inner.len() as u32);
    to.extend(inner);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::Run;
    use crate::place::Place;

    #[test]
    fn functions_are_chosen_by_the_modules_that_they_mention() {
        for name in [
            "app[9bb4d1fe156a997e]::screens::walk::__component_walk_screen",
            "<model[621a5f24bb55e0d0]::decide::Decision as core[c5930c85a12de822]::clone::Clone>::clone",
            "model[621a5f24bb55e0d0]::words::later::table",
            "<app[9bb4d1fe156a997e]::state::AppState>::settle_lock::{closure#0}",
            "core::ptr::drop_in_place::<app[9bb4d1fe156a997e]::screens::plan::work::step::{closure#1}>",
        ] {
            assert!(later(name), "{name}");
        }
        for name in [
            "app[9bb4d1fe156a997e]::screens::gate::card",
            "app[9bb4d1fe156a997e]::shell::frame::<app[9bb4d1fe156a997e]::screens::walk::Walk>",
            "<model[621a5f24bb55e0d0]::job::state::Job>::new",
            "core::ptr::drop_in_place::<app[9bb4d1fe156a997e]::screens::plan::work::Step>",
            "other_model::plan::plan",
            "core[c5930c85a12de822]::fmt::write",
            "core[c5930c85a12de822]::ptr::drop_in_place::<model[621a5f24bb55e0d0]::decide::Decision>",
            "",
        ] {
            assert!(!later(name), "{name}");
        }
    }

    #[test]
    fn a_name_begins_with_its_own_path() {
        assert_eq!(own_path("<a[0f]::B<c[0f]::D> as e::F>::g"), "a[0f]::B");
        assert_eq!(own_path("<&mut a::b::C as d::E>::f"), "a::b::C");
        assert_eq!(own_path("a::b::{closure#0}"), "a::b::");
        assert_eq!(own_path(""), "");
    }

    #[test]
    fn later_texts_are_found_by_their_mark() {
        let text = b"CUTLINE-LATER:00000004:\na\tb\n".to_vec();
        let mut bytes = b"CUTLINE-LATER:only a word".to_vec();
        bytes.extend(&text);
        bytes.extend(b"after");
        assert_eq!(marked(&[(0, bytes.clone())]), Ok(vec![text]));
        bytes.truncate(bytes.len() - 7);
        assert!(marked(&[(0, bytes)]).is_err());
    }

    /// A module of an entry that stays, one function that moves, one that only the moved one calls and one of both.
    fn sample() -> Vec<u8> {
        let types = [vec![0x60, 0, 0], vec![0x60, 1, 0x7f, 1, 0x7f], vec![0x60, 1, 0x7f, 0]];
        // Longer than a detour, by instructions that do nothing.
        let mut long = vec![0; 1];
        long.extend([1; SMALL]);
        long.extend([0x20, 0, 0x10, 3, 0x10, 4, 0x0b]);
        let bodies: [&[u8]; 4] = [
            &[0, 0x20, 0, 0x10, 2, 0x0b],
            &long,
            &[0, 0x20, 0, 0x41, 2, 0x6c, 0x0b],
            &[0, 0x20, 0, 0x41, 8, 0x2d, 0, 0, 0x6a, 0x0b],
        ];
        let names = ["app::shell::run", "app::screens::walk::twice", "core::helper", "core::shared"];
        let mut out = b"\0asm\x01\0\0\0".to_vec();
        put_section(&mut out, wasm::TYPE, &types);
        put_section(&mut out, wasm::IMPORT, &[import("b", "__wbg_cutlineRest_1", FUNC, &[2])]);
        put_section(&mut out, wasm::FUNCTION, &[vec![1], vec![1], vec![1], vec![1]]);
        put_section(&mut out, wasm::TABLE, &[vec![0x70, 0, 2]]);
        put_section(&mut out, wasm::MEMORY, &[vec![0, 1]]);
        put_section(&mut out, wasm::EXPORT, &[export("run", FUNC, 1), export("memory", MEMORY, 0)]);
        put_section(&mut out, wasm::ELEMENT, &[element(&[0], 0, [2, 4].into_iter())]);
        put_section(&mut out, wasm::CODE, &bodies.map(with_length));
        put_section(&mut out, wasm::DATA, &data_entries(&[(4, b"abcd{book}z".to_vec())]));
        put_names(&mut out, (1..).zip(names));
        out
    }

    #[test]
    fn what_of_the_state_only_an_event_sets_going_comes_with_the_rest() {
        let long = |tail: &[u8]| {
            let mut body = vec![0];
            body.extend([1; SMALL]);
            body.extend(tail);
            body.push(0x0b);
            body
        };
        let names = [
            "app::shell::run",
            "<app::screens::gate::card::{closure#0} as core::ops::function::FnOnce<(web_sys::features::gen_Event::Event,)>>::call_once::{shim:vtable#0}",
            "app::screens::gate::card::{closure#0}",
            "<app::state::AppState>::copy",
            "<app::state::AppState>::start",
            "reactive::set",
            "core::only_for_copies",
        ];
        let module = Module {
            types: vec![(vec![0x60, 1, 0x7f, 0], 1)],
            functions: vec![0; names.len()],
            exports: vec![("run".to_owned(), FUNC, 0)],
            elements: vec![(1, vec![1, 2])],
            data: vec![(4096, [0, 4, 4, 1, 2].iter().flat_map(|word: &u32| word.to_le_bytes()).collect())],
            // The first puts the closure's methods somewhere and calls the state's start; the closure calls all but the last.
            bodies: vec![
                long(&[0x41, 0x80, 0x20, 0x21, 0, 0x10, 4]),
                long(&[0x10, 2]),
                long(&[0x10, 3, 0x10, 4, 0x10, 5]),
                long(&[0x10, 6]),
                long(&[]),
                long(&[]),
                long(&[]),
            ],
            names: (0..).zip(names.map(str::to_owned)).collect(),
            ..Module::default()
        };
        let plan = Plan::new(&module, 0).expect("a module that is known");
        assert_eq!(plan.moved.into_iter().collect::<Vec<_>>(), [3, 6]);
    }

    #[test]
    fn the_two_parts_together_are_the_whole() {
        let (first, rest) = split(&sample(), &[b"{book}".to_vec()]).expect("a module that is known");
        let text = |bytes: &[u8]| bytes.iter().map(u8::to_string).collect::<Vec<_>>().join(",");
        let program = format!(
            "const of = (bytes) => new WebAssembly.Module(new Uint8Array(bytes));\n\
             let asked = 0, first;\n\
             const bring = (now) => {{ asked += now; new WebAssembly.Instance(of([{}]), {{ p: first.exports }}); }};\n\
             first = new WebAssembly.Instance(of([{}]), {{ b: {{ __wbg_cutlineRest_1: bring }} }});\n\
             const memory = () => Buffer.from(first.exports.memory.buffer.slice(4, 15)).toString();\n\
             const before = memory();\n\
             console.log(JSON.stringify([before, first.exports.run(5), first.exports.run(6), asked, memory()]));",
            text(&rest),
            text(&first)
        );
        let answer = Run::new(&Place::find(), "node").args(["-e", &program]).answer();
        // Twice the number, and the byte at address 8, which is the book's first: 123.
        assert_eq!(answer.as_deref(), Some(r#"["abcd\u0000\u0000\u0000\u0000\u0000\u0000z",133,135,1,"abcd{book}z"]"#));
        assert!(!first.windows(6).any(|part| part == b"{book}"));
    }

    #[test]
    fn a_module_that_cannot_be_split_is_refused() {
        let bytes = sample();
        assert!(split(&bytes[..bytes.len() - 1], &[]).is_err(), "cut off");
        let nameless = &bytes[..bytes.len() - bytes.iter().rev().position(|byte| *byte == b'z').expect("data")];
        assert!(split(nameless, &[]).is_err_and(|failure| failure.to_string().contains("names")));
    }
}
