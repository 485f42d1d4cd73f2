//! Reading and writing WebAssembly modules, as far as the splitter needs it: the binary format of the WebAssembly core
//! specification 2.0, in the shape that wasm-bindgen writes.
//! Must never guess: what it does not know is an error, for a byte misread here would be a fault in the app.

use std::collections::BTreeMap;

use crate::failure::Failure;

/// The result of reading.
pub type Read<T> = Result<T, Failure>;

/// Names and counts of the sections that are read.
pub const TYPE: u8 = 1;
pub const IMPORT: u8 = 2;
pub const FUNCTION: u8 = 3;
pub const TABLE: u8 = 4;
pub const MEMORY: u8 = 5;
pub const GLOBAL: u8 = 6;
pub const EXPORT: u8 = 7;
pub const START: u8 = 8;
pub const ELEMENT: u8 = 9;
pub const CODE: u8 = 10;
pub const DATA: u8 = 11;

/// A module, taken apart.
#[derive(Debug, Default)]
pub struct Module {
    /// Function types, each with its number of parameters.
    pub types: Vec<(Vec<u8>, u32)>,
    /// Imported functions: the entry's bytes, module, name and type.
    pub imports: Vec<Import>,
    /// Type of each function of its own.
    pub functions: Vec<u32>,
    /// Tables: the bytes of their type.
    pub tables: Vec<Vec<u8>>,
    /// Memories: the bytes of their type.
    pub memories: Vec<Vec<u8>>,
    /// Globals: type (two bytes) and the bytes of type and value.
    pub globals: Vec<([u8; 2], Vec<u8>)>,
    /// Exports: name, kind, index.
    pub exports: Vec<(String, u8, u32)>,
    /// The function that runs first.
    pub start: Option<u32>,
    /// Active elements of the first table: where, and which functions.
    pub elements: Vec<(i32, Vec<u32>)>,
    /// Bodies of its own functions.
    pub bodies: Vec<Vec<u8>>,
    /// Active data of the first memory.
    pub data: Vec<(i32, Vec<u8>)>,
    /// Names of functions, by index.
    pub names: BTreeMap<u32, String>,
}

/// An imported function.
#[derive(Debug, Clone)]
pub struct Import {
    pub module: String,
    pub name: String,
    pub of_type: u32,
}

/// A place in bytes that are read.
pub struct Reader<'b> {
    bytes: &'b [u8],
    /// Where the next byte is.
    pub at: usize,
}

/// What cannot be read.
pub fn strange(what: &str) -> Failure {
    Failure::new(format!("the wasm file holds something unknown: {what}"), "teach it to tests/runner/src/wasm.rs")
}

impl<'b> Reader<'b> {
    /// Reads from the first byte.
    pub fn new(bytes: &'b [u8]) -> Self {
        Self { bytes, at: 0 }
    }
    /// Whether nothing is left.
    pub fn ended(&self) -> bool {
        self.at >= self.bytes.len()
    }
    /// One byte.
    pub fn byte(&mut self) -> Read<u8> {
        let byte = self.bytes.get(self.at).copied().ok_or_else(|| strange("an early end"))?;
        self.at += 1;
        Ok(byte)
    }
    /// So many bytes.
    pub fn take(&mut self, count: usize) -> Read<&'b [u8]> {
        let taken = self.at.checked_add(count).and_then(|end| self.bytes.get(self.at..end));
        self.at += count;
        taken.ok_or_else(|| strange("an early end"))
    }
    /// An unsigned number in LEB128.
    pub fn number(&mut self) -> Read<u32> {
        let (mut value, mut shift) = (0_u64, 0);
        loop {
            let byte = self.byte()?;
            value |= u64::from(byte & 127) << shift;
            shift += 7;
            if byte < 128 {
                return u32::try_from(value).map_err(|_| strange("a number beyond 32 bits"));
            }
            if shift > 35 {
                return Err(strange("a number of more than five bytes"));
            }
        }
    }
    /// A signed number in LEB128, 32 bits.
    pub fn signed(&mut self) -> Read<i32> {
        let (mut value, mut shift) = (0_i64, 0);
        loop {
            let byte = self.byte()?;
            value |= i64::from(byte & 127) << shift;
            shift += 7;
            if byte < 128 {
                if shift < 64 && byte & 64 != 0 {
                    value |= -1 << shift;
                }
                return i32::try_from(value).map_err(|_| strange("a number beyond 32 bits"));
            }
            if shift > 35 {
                return Err(strange("a number of more than five bytes"));
            }
        }
    }
    /// Passes over a number of any width.
    pub fn skip(&mut self) -> Read<()> {
        while self.byte()? >= 128 {}
        Ok(())
    }
    /// A name.
    pub fn name(&mut self) -> Read<String> {
        let length = self.number()? as usize;
        Ok(String::from_utf8_lossy(self.take(length)?).into_owned())
    }
    /// Limits of a table or memory.
    fn limits(&mut self) -> Read<()> {
        let flag = self.byte()?;
        if flag > 1 {
            return Err(strange("limits that are shared or of 64 bits"));
        }
        self.skip()?;
        if flag == 1 { self.skip() } else { Ok(()) }
    }
    /// The bytes that `read` passes over.
    fn span(&mut self, read: impl FnOnce(&mut Self) -> Read<()>) -> Read<Vec<u8>> {
        let from = self.at;
        read(self)?;
        Ok(self.bytes[from..self.at].to_vec())
    }
    /// An `i32.const` expression.
    fn offset(&mut self) -> Read<i32> {
        if self.byte()? != 0x41 {
            return Err(strange("an offset that is no constant"));
        }
        let value = self.signed()?;
        if self.byte()? == 0x0b { Ok(value) } else { Err(strange("an offset that is no constant")) }
    }
}

impl Module {
    /// Takes a module apart.
    ///
    /// # Errors
    /// Where it holds something that this reader does not know.
    pub fn read(bytes: &[u8]) -> Read<Self> {
        let mut module = Self::default();
        let mut file = Reader::new(bytes);
        if file.take(8)? != b"\0asm\x01\0\0\0" {
            return Err(strange("another magic number or version"));
        }
        while !file.ended() {
            let section = file.byte()?;
            let length = file.number()? as usize;
            let mut reader = Reader::new(file.take(length)?);
            if section == 0 {
                if reader.name()? == "name" {
                    module.read_names(&mut reader)?;
                }
                continue;
            }
            if section == START {
                module.start = Some(reader.number()?);
                continue;
            }
            let count = reader.number()?;
            if section == 12 {
                continue; // the number of data segments, which stands in their own section too
            }
            for _ in 0..count {
                module.read_entry(section, &mut reader)?;
            }
            if !reader.ended() {
                return Err(strange("a section with a tail"));
            }
        }
        Ok(module)
    }

    fn read_entry(&mut self, section: u8, reader: &mut Reader<'_>) -> Read<()> {
        match section {
            TYPE => {
                let mut parameters = 0;
                let bytes = reader.span(|reader| {
                    if reader.byte()? != 0x60 {
                        return Err(strange("a type that is no function"));
                    }
                    parameters = reader.number()?;
                    reader.take(parameters as usize)?;
                    let results = reader.number()?;
                    reader.take(results as usize).map(|_| ())
                })?;
                self.types.push((bytes, parameters));
            }
            IMPORT => {
                let (module, name) = (reader.name()?, reader.name()?);
                if reader.byte()? != 0 {
                    return Err(strange("an import that is no function"));
                }
                self.imports.push(Import { module, name, of_type: reader.number()? });
            }
            FUNCTION => self.functions.push(reader.number()?),
            TABLE => self.tables.push(reader.span(|reader| {
                if !matches!(reader.byte()?, 0x70 | 0x6f) {
                    return Err(strange("a table of another kind"));
                }
                reader.limits()
            })?),
            MEMORY => self.memories.push(reader.span(Reader::limits)?),
            GLOBAL => {
                let bytes = reader.span(|reader| {
                    reader.take(2)?;
                    if reader.byte()? != 0x41 {
                        return Err(strange("a global that is no 32-bit constant"));
                    }
                    reader.skip()?;
                    if reader.byte()? == 0x0b { Ok(()) } else { Err(strange("a global that is computed")) }
                })?;
                self.globals.push(([bytes[0], bytes[1]], bytes));
            }
            EXPORT => self.exports.push((reader.name()?, reader.byte()?, reader.number()?)),
            ELEMENT => {
                if reader.number()? != 0 {
                    return Err(strange("elements that are not active in the first table"));
                }
                let offset = reader.offset()?;
                let count = reader.number()?;
                let functions = (0..count).map(|_| reader.number()).collect::<Read<_>>()?;
                self.elements.push((offset, functions));
            }
            CODE => {
                let length = reader.number()? as usize;
                self.bodies.push(reader.take(length)?.to_vec());
            }
            DATA => {
                if reader.number()? != 0 {
                    return Err(strange("data that is not active"));
                }
                let offset = reader.offset()?;
                let length = reader.number()? as usize;
                self.data.push((offset, reader.take(length)?.to_vec()));
            }
            other => return Err(strange(&format!("section {other}"))),
        }
        Ok(())
    }

    fn read_names(&mut self, reader: &mut Reader<'_>) -> Read<()> {
        while !reader.ended() {
            let part = reader.byte()?;
            let length = reader.number()? as usize;
            let mut inner = Reader::new(reader.take(length)?);
            if part == 1 {
                for _ in 0..inner.number()? {
                    let index = inner.number()?;
                    self.names.insert(index, inner.name()?);
                }
            }
        }
        Ok(())
    }

    /// Number of imported functions; indices from here on are the module's own.
    pub fn imported(&self) -> u32 {
        self.imports.len() as u32
    }
}

/// What a body names.
#[derive(Debug, Default)]
pub struct Mention {
    /// Functions: first and last-but-one byte of the number, and the function.
    pub calls: Vec<(usize, usize, u32)>,
    /// 32-bit constants, each with the instruction that follows it.
    pub constants: Vec<(i32, u8)>,
    /// Offsets of loads and stores, which may be addresses too.
    pub offsets: Vec<u32>,
}

/// What a body names.
///
/// # Errors
/// On an instruction that is not known, or one that names data or elements.
pub fn mentions(body: &[u8]) -> Read<Mention> {
    let mut found = Mention::default();
    let mut reader = Reader::new(body);
    for _ in 0..reader.number()? {
        reader.skip()?;
        reader.byte()?;
    }
    let mut constant = None;
    while !reader.ended() {
        let instruction = reader.byte()?;
        if let Some(value) = constant.take() {
            found.constants.push((value, instruction));
        }
        match instruction {
            0x10 | 0xd2 => {
                let from = reader.at;
                let function = reader.number()?;
                found.calls.push((from, reader.at, function));
            }
            0x00 | 0x01 | 0x05 | 0x0b | 0x0f | 0x1a | 0x1b | 0x45..=0xc4 | 0xd1 => {}
            0x41 => constant = Some(reader.signed()?),
            0x02..=0x04 | 0x0c | 0x0d | 0x20..=0x26 | 0x42 | 0xd0 => reader.skip()?,
            0x0e => {
                for _ in 0..=reader.number()? {
                    reader.skip()?;
                }
            }
            0x11 => {
                reader.skip()?;
                reader.skip()?;
            }
            0x28..=0x3e => {
                reader.skip()?;
                found.offsets.push(reader.number()?);
            }
            0x1c => {
                let count = reader.number()? as usize;
                reader.take(count)?;
            }
            0x3f | 0x40 => reader.skip()?,
            0x43 => _ = reader.take(4)?,
            0x44 => _ = reader.take(8)?,
            0xfc => match reader.number()? {
                0..=7 => {}
                11 | 15..=17 => reader.skip()?,
                10 | 14 => {
                    reader.skip()?;
                    reader.skip()?;
                }
                other => return Err(strange(&format!("instruction 0xfc {other}"))),
            },
            other => return Err(strange(&format!("instruction {other:#x}"))),
        }
    }
    Ok(found)
}

/// Writes an unsigned number in LEB128.
pub fn put(to: &mut Vec<u8>, mut value: u32) {
    while value >= 128 {
        to.push((value & 127) as u8 | 128);
        value >>= 7;
    }
    to.push(value as u8);
}

/// Writes a signed number in LEB128.
pub fn put_signed(to: &mut Vec<u8>, mut value: i32) {
    loop {
        let byte = (value & 127) as u8;
        value >>= 7;
        if (value == 0 && byte & 64 == 0) || (value == -1 && byte & 64 != 0) {
            to.push(byte);
            return;
        }
        to.push(byte | 128);
    }
}

/// Writes a name.
pub fn put_name(to: &mut Vec<u8>, name: &str) {
    put(to, name.len() as u32);
    to.extend(name.as_bytes());
}

/// Writes a section of entries; none where there are none.
pub fn put_section(to: &mut Vec<u8>, section: u8, entries: &[Vec<u8>]) {
    if entries.is_empty() {
        return;
    }
    let mut inner = Vec::new();
    put(&mut inner, entries.len() as u32);
    entries.iter().for_each(|entry| inner.extend(entry));
    to.push(section);
    put(to, inner.len() as u32);
    to.extend(inner);
}

/// Writes a section of other programs, which an engine passes over and a page can read.
pub fn put_custom(to: &mut Vec<u8>, name: &str, bytes: &[u8]) {
    let mut inner = Vec::new();
    put_name(&mut inner, name);
    inner.extend(bytes);
    to.push(0);
    put(to, inner.len() as u32);
    to.extend(inner);
}
