//! Which functions of a module can run once others run: by calls, and by the tables of methods that the compiler writes
//! for each `dyn` type and that a function names by their address.
//!
//! An address is told from a number by its value, and a function's place in the table by what follows it; what cannot be
//! told counts as reached. Never says that a function is out of reach because of a number that it could not read.

use std::collections::{BTreeMap, BTreeSet};

use crate::wasm::{Mention, Module, Read, mentions};

/// The kind of a function among exports.
const FUNC: u8 = 0;
/// Alignments that a type may have; the third word of a table of methods.
const ALIGNMENTS: [u32; 5] = [1, 2, 4, 8, 16];
/// No type is larger, in bytes; the second word of a table of methods.
const LARGEST: u32 = 1 << 20;
/// What may follow a place in the table that is used as such, and not as a number: to store it, hand it on, choose, return.
const USES: [u8; 9] = [0x36, 0x10, 0x11, 0x20, 0x21, 0x22, 0x41, 0x1b, 0x0b];

/// Who reaches whom.
pub struct Graph {
    /// Per own function, what it calls or names itself.
    direct: Vec<Vec<u32>>,
    /// Per own function, the addresses that it names.
    addresses: Vec<Vec<u32>>,
    /// Functions in the table of methods at an address.
    methods: BTreeMap<u32, Vec<u32>>,
    /// Addresses that stand in the data from one address on to the next that is named.
    inside: BTreeMap<u32, Vec<u32>>,
    /// What runs first, what the page calls, and what stands in the table without anybody being known to name it.
    roots: BTreeSet<u32>,
    imported: u32,
}

impl Graph {
    /// Looks through a module.
    ///
    /// # Errors
    /// Where a body holds an instruction that is not known.
    pub fn new(module: &Module) -> Read<Self> {
        let imported = module.imported();
        let mentioned: Vec<Mention> = module.bodies.iter().map(|body| mentions(body)).collect::<Read<_>>()?;
        let table: BTreeMap<u32, u32> =
            module.elements.iter().flat_map(|(at, list)| (*at as u32..).zip(list.iter().copied())).collect();
        let words = words(module);
        let ends = module.data.iter().map(|(at, bytes)| (*at as u32, *at as u32 + bytes.len() as u32));
        let (low, high) = ends.fold((u32::MAX, 0), |(low, high), (from, to)| (low.min(from), high.max(to)));
        let is_address = |word: &u32| (low..high).contains(word);
        let addresses: Vec<Vec<u32>> = mentioned
            .iter()
            .map(|mention| {
                let constants = mention.constants.iter().map(|(value, _)| *value as u32);
                constants.chain(mention.offsets.iter().copied()).filter(is_address).collect()
            })
            .collect();
        let named: BTreeSet<u32> =
            addresses.iter().flatten().chain(words.values().filter(|word| is_address(word))).copied().collect();
        let drops = |function: &u32| module.types[of_type(module, *function)].0 == [0x60, 1, 0x7f, 0];
        let methods: BTreeMap<u32, Vec<u32>> =
            named.iter().filter_map(|at| Some((*at, methods_at(*at, &words, &table, &named, drops)?))).collect();
        let mut inside: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
        for (at, word) in words.iter().filter(|(_, word)| is_address(word)) {
            if let Some(from) = named.range(..=at).next_back() {
                inside.entry(*from).or_default().push(*word);
            }
        }
        // What no table of methods holds is handed on as a number.
        let of_methods: BTreeSet<u32> = methods.values().flatten().copied().collect();
        let alone: BTreeMap<u32, u32> =
            table.iter().filter(|(_, function)| !of_methods.contains(function)).map(|(at, one)| (*at, *one)).collect();
        let mut unknown: BTreeSet<u32> = alone.values().copied().collect();
        let direct: Vec<Vec<u32>> = mentioned
            .into_iter()
            .map(|mention| {
                let places = mention.constants.into_iter().filter(|(_, next)| USES.contains(next));
                let handed: Vec<u32> = places.filter_map(|(value, _)| alone.get(&(value as u32)).copied()).collect();
                handed.iter().for_each(|function| _ = unknown.remove(function));
                mention.calls.into_iter().map(|(.., function)| function).chain(handed).collect()
            })
            .collect();
        let exported = module.exports.iter().filter(|(_, kind, _)| *kind == FUNC).map(|(.., index)| *index);
        let roots = exported.chain(module.start).chain(unknown).collect();
        Ok(Self { direct, addresses, methods, inside, roots, imported })
    }

    /// The module's own functions that can run, without what `enter` keeps out.
    pub fn reached(&self, enter: impl FnMut(u32) -> bool) -> BTreeSet<u32> {
        let mut reached = BTreeSet::new();
        self.go_on(&mut reached, self.roots.iter().copied(), enter);
        reached
    }

    /// Adds what can run once `from` does.
    pub fn go_on(
        &self,
        reached: &mut BTreeSet<u32>,
        from: impl IntoIterator<Item = u32>,
        mut enter: impl FnMut(u32) -> bool,
    ) {
        let mut open: Vec<u32> = from.into_iter().collect();
        let mut seen = BTreeSet::new();
        while let Some(function) = open.pop() {
            if function < self.imported || reached.contains(&function) || !enter(function) {
                continue;
            }
            reached.insert(function);
            let at = (function - self.imported) as usize;
            open.extend(&self.direct[at]);
            let mut places = self.addresses[at].clone();
            while let Some(place) = places.pop() {
                if seen.insert(place) {
                    open.extend(self.methods.get(&place).into_iter().flatten());
                    places.extend(self.inside.get(&place).into_iter().flatten());
                }
            }
        }
    }

    /// All functions of each table of methods one of whose functions is such a one.
    pub fn of_types(&self, such: impl Fn(u32) -> bool) -> BTreeSet<u32> {
        self.methods.values().filter(|list| list.iter().any(|one| such(*one))).flatten().copied().collect()
    }
}

fn of_type(module: &Module, function: u32) -> usize {
    let imports = &module.imports;
    let own = |at: usize| module.functions[at - imports.len()];
    imports.get(function as usize).map_or_else(|| own(function as usize), |import| import.of_type) as usize
}

/// The data as words of four bytes, by address.
fn words(module: &Module) -> BTreeMap<u32, u32> {
    let mut words = BTreeMap::new();
    for (at, bytes) in &module.data {
        let from = at.rem_euclid(4);
        let skip = ((4 - from) % 4) as usize;
        for (number, word) in bytes.get(skip..).unwrap_or_default().chunks_exact(4).enumerate() {
            let word = u32::from_le_bytes([word[0], word[1], word[2], word[3]]);
            words.insert(*at as u32 + (skip + 4 * number) as u32, word);
        }
    }
    words
}

/// The functions in the table of methods at an address, where one stands there: what drops the value or 0, size,
/// alignment, then a function for each method.
fn methods_at(
    at: u32,
    words: &BTreeMap<u32, u32>,
    table: &BTreeMap<u32, u32>,
    named: &BTreeSet<u32>,
    drops: impl Fn(&u32) -> bool,
) -> Option<Vec<u32>> {
    let (first, size, align) = (*words.get(&at)?, *words.get(&(at + 4))?, *words.get(&(at + 8))?);
    let dropping = table.get(&first);
    let sound = dropping.map_or(first == 0, drops) && size <= LARGEST && ALIGNMENTS.contains(&align);
    if !sound || size % align != 0 {
        return None;
    }
    let methods = (at + 12..).step_by(4).take_while(|place| !named.contains(place));
    let methods: Vec<u32> = methods.map_while(|place| table.get(words.get(&place)?).copied()).collect();
    (!methods.is_empty()).then(|| dropping.copied().into_iter().chain(methods).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wasm::Import;

    /// A body that puts these constants somewhere and calls these functions.
    fn body(constants: &[i32], calls: &[u8]) -> Vec<u8> {
        let mut body = vec![0];
        for constant in constants {
            body.push(0x41);
            crate::wasm::put_signed(&mut body, *constant);
            body.extend([0x21, 0]);
        }
        calls.iter().for_each(|function| body.extend([0x10, *function]));
        body.push(0x0b);
        body
    }

    fn bytes(words: &[u32]) -> Vec<u8> {
        words.iter().flat_map(|word| word.to_le_bytes()).collect()
    }

    /// An import, then a function that is exported, three of two tables of methods, one handed on by its place in the table,
    /// one that nobody is known to name, and one that nobody reaches.
    fn sample() -> Module {
        Module {
            types: vec![(vec![0x60, 1, 0x7f, 0], 1)],
            imports: vec![Import { module: "b".to_owned(), name: "i".to_owned(), of_type: 0 }],
            functions: vec![0; 8],
            exports: vec![("run".to_owned(), FUNC, 1)],
            elements: vec![(7, vec![2, 3, 4, 5, 6])],
            // The data: at 4096 the address of the first table of methods, at 4100 that table, at 4116 the second.
            data: vec![(4096, bytes(&[4100, 7, 8, 4, 8, 0, 16, 8, 9]))],
            bodies: vec![
                body(&[4096, 10], &[0]),
                body(&[], &[]),
                body(&[], &[7]),
                body(&[4116], &[]),
                body(&[], &[]),
                body(&[], &[]),
                body(&[], &[]),
                body(&[4116], &[]),
            ],
            ..Module::default()
        }
    }

    #[test]
    fn what_runs_is_found_through_calls_methods_and_places_in_the_table() {
        let graph = Graph::new(&sample()).expect("known instructions");
        let all: Vec<u32> = graph.reached(|_| true).into_iter().collect();
        // 1 is exported; 2 drops and 3 is a method of what the data at 4096 leads to; 3 calls 7; 5 is handed on; 6 stands in
        // the table and nobody is known to name it. 4 is a method of the second table, which only 8 names.
        assert_eq!(all, [1, 2, 3, 5, 6, 7]);
        let without: Vec<u32> = graph.reached(|function| function != 3).into_iter().collect();
        assert_eq!(without, [1, 2, 5, 6]);
        let mut more = graph.reached(|function| function != 3);
        graph.go_on(&mut more, [8], |_| true);
        assert_eq!(more.into_iter().collect::<Vec<_>>(), [1, 2, 4, 5, 6, 8]);
        assert_eq!(graph.of_types(|function| function == 3).into_iter().collect::<Vec<_>>(), [2, 3]);
    }

    #[test]
    fn numbers_that_are_no_table_of_methods_are_none() {
        let table = BTreeMap::from([(7, 2), (8, 3)]);
        let at = |list: [u32; 4]| {
            let words = (0..4).map(|number| (4096 + 4 * number, list[number as usize])).collect();
            methods_at(4096, &words, &table, &BTreeSet::from([4096]), |_| true)
        };
        assert_eq!(at([7, 8, 4, 8]), Some(vec![2, 3]));
        assert_eq!(at([0, 0, 1, 8]), Some(vec![3]));
        assert_eq!(at([99, 8, 4, 8]), None, "nothing that drops");
        assert_eq!(at([7, 8, 3, 8]), None, "no alignment");
        assert_eq!(at([7, 6, 4, 8]), None, "a size that its alignment does not divide");
        assert_eq!(at([7, 8, 4, 99]), None, "no method");
    }
}
