//! Privacy at rest: the primitives against their published vectors, the construction against its promises.

use argon2::{Algorithm, Argon2, AssociatedData, ParamsBuilder, Version};
use chacha20poly1305::aead::{Aead, KeyInit, Payload};
use chacha20poly1305::{XChaCha20Poly1305, XNonce};
use checks::Numbers;
use model::seal::{Cost, FRESH, Lock, NONCE, Sealer, Stage, is_sealed, is_sealed_bytes};

fn hex(text: &str) -> Vec<u8> {
    let digits: Vec<u8> = text.bytes().filter(u8::is_ascii_hexdigit).collect();
    digits
        .chunks_exact(2)
        .map(|pair| u8::from_str_radix(std::str::from_utf8(pair).expect("ASCII"), 16).expect("digits"))
        .collect()
}

/// A cost that a test can pay often.
const CHEAP: Cost = Cost { memory_kib: 64, passes: 1, lanes: 1 };

fn fresh(seed: u64) -> [u8; FRESH] {
    let mut numbers = Numbers::new(seed);
    std::array::from_fn(|_| u8::try_from(numbers.bits() & 255).expect("a byte"))
}

fn nonce(seed: u64) -> [u8; NONCE] {
    fresh(seed)[..NONCE].try_into().expect("long enough")
}

/// Source: RFC 9106, section 5.3, Argon2id test vector.
#[test]
fn argon2id_gives_the_published_tag() {
    let mut params = ParamsBuilder::new();
    params.m_cost(32).t_cost(3).p_cost(4).data(AssociatedData::new(&[4; 12]).expect("short")).output_len(32);
    let params = params.build().expect("good parameters");
    let argon = Argon2::new_with_secret(&[3; 8], Algorithm::Argon2id, Version::V0x13, params).expect("a secret");
    let mut tag = [0; 32];
    argon.hash_password_into(&[1; 32], &[2; 16], &mut tag).expect("a tag");
    let published = "0d 64 0d f5 8d 78 76 6c 08 c0 37 a3 4a 8b 53 c9 d0 1e f0 45 2d 75 b6 5e b5 25 20 e9 6b 01 e6 59";
    assert_eq!(tag.to_vec(), hex(published));
}

/// Source: draft-irtf-cfrg-xchacha-03, appendix A.3.1 (AEAD_XCHACHA20_POLY1305).
#[test]
fn xchacha20_poly1305_gives_the_published_text_and_tag() {
    let text = b"Ladies and Gentlemen of the class of '99: If I could offer you only one tip for the future, sunscreen would be it.";
    let aad = hex("50515253c0c1c2c3c4c5c6c7");
    let key: [u8; 32] = std::array::from_fn(|at| 0x80 + u8::try_from(at).expect("small"));
    let iv: [u8; 24] = std::array::from_fn(|at| 0x40 + u8::try_from(at).expect("small"));
    let published = hex(
        "bd6d179d3e83d43b9576579493c0e939572a1700252bfaccbed2902c21396cbb731c7f1b0b4aa6440bf3a82f4eda7e39ae64c6708c54c216\
         cb96b72e1213b4522f8c9ba40db5d945b11b69b982c1bb9e3f3fac2bc369488f76b2383565d3fff921f9664c97637da9768812f615c68b13b52e\
         c0875924c1c7987947deafd8780acf49",
    );
    let cipher = XChaCha20Poly1305::new(&key.into());
    let closed = cipher.encrypt(&XNonce::from(iv), Payload { msg: text, aad: &aad }).expect("closed");
    assert_eq!(closed, published);
    // Our own framing holds that same text between a nonce and nothing.
    let place = "PQRS";
    let ours = Sealer::new(&key).seal_bytes(place, text, &iv).expect("closed");
    assert_eq!(&ours[8..32], &iv);
    let theirs = cipher.encrypt(&XNonce::from(iv), Payload { msg: text, aad: place.as_bytes() }).expect("closed");
    assert_eq!(&ours[32..], &theirs);
}

#[test]
fn what_is_closed_opens_in_its_place_alone() {
    let sealer = Sealer::new(&[7; 32]);
    for seed in 0..200 {
        let mut numbers = Numbers::new(seed);
        let text: String =
            (0..numbers.below(400)).map(|_| char::from_u32(numbers.below(0xd000) as u32).unwrap_or(' ')).collect();
        let closed = sealer.seal("cutline/a/c/1", &text, &nonce(seed)).expect("closed");
        assert!(is_sealed(&closed) && closed.is_ascii());
        assert_eq!(sealer.open("cutline/a/c/1", &closed), Ok(text.clone()), "seed {seed}");
        assert_eq!(sealer.open("cutline/a/c/2", &closed).expect_err("another place").key, "error-seal-entry");
        assert!(Sealer::new(&[8; 32]).open("cutline/a/c/1", &closed).is_err(), "another key");
        let mut bytes = sealer.seal_bytes("p", text.as_bytes(), &nonce(seed)).expect("closed");
        assert!(is_sealed_bytes(&bytes));
        assert_eq!(sealer.open_bytes("p", &bytes).as_deref(), Ok(text.as_bytes()));
        // Any altered byte behind the mark, and any cut, is found.
        let at = 8 + numbers.below(bytes.len() - 8);
        bytes[at] ^= 1 << numbers.below(8);
        assert!(sealer.open_bytes("p", &bytes).is_err(), "seed {seed}, byte {at}");
        bytes.truncate(8 + numbers.below(bytes.len() - 8));
        assert!(sealer.open_bytes("p", &bytes).is_err());
    }
    // What is plain passes through: both kinds lie side by side while a tablet is being closed.
    assert_eq!(sealer.open("x", r#"{"v":1}"#).as_deref(), Ok(r#"{"v":1}"#));
    assert_eq!(sealer.open_bytes("x", &[0xff, 0xd8, 0xff]).as_deref(), Ok(&[0xff, 0xd8, 0xff][..]));
    for text in ["sealed-1:", "sealed-1:!!", "sealed-1:AAAA", "sealed-1:\u{e9}"] {
        assert!(sealer.open("x", text).is_err(), "{text}");
    }
}

#[test]
fn closed_text_shows_nothing_of_what_it_holds() {
    let sealer = Sealer::new(&[7; 32]);
    let one = sealer.seal("k", "the owner's name, the owner's name", &nonce(1)).expect("closed");
    let other = sealer.seal("k", "the owner's name, the owner's name", &nonce(2)).expect("closed");
    assert_ne!(one, other, "the same text closed twice");
    assert!(!one.contains("owner"));
}

#[test]
fn the_passphrase_opens_the_lock_and_no_other_does() {
    let (mut lock, sealer, _) = Lock::new("four words beside another", CHEAP, &fresh(1)).expect("a lock");
    assert_eq!(lock.stage, Stage::Closing);
    let closed = sealer.seal("k", "text", &nonce(3)).expect("closed");
    lock.stage = Stage::Closed;
    let lock = Lock::read(&lock.text()).expect("its own text");
    let (again, _) = lock.unlock("four words beside another").expect("opens");
    assert_eq!(again.open("k", &closed).as_deref(), Ok("text"));
    for wrong in ["", "x", "four words beside anothe", "four words beside another ", "Four words beside another"] {
        let error = lock.unlock(wrong).expect_err("wrong");
        assert_eq!(error.key, "error-seal-wrong", "{wrong}: whichever part is wrong, the same is said");
    }
    assert!(!format!("{again:?}").contains("cipher"));
    assert_eq!(Lock::new("short", CHEAP, &fresh(1)).expect_err("short").key, "error-seal-short");
}

#[test]
fn a_new_passphrase_rewrites_the_lock_alone() {
    let (lock, sealer, key) = Lock::new("the first passphrase", CHEAP, &fresh(1)).expect("a lock");
    let closed = sealer.seal("k", "text", &nonce(3)).expect("closed");
    let next = lock.renew(&key, "the second passphrase", CHEAP, &fresh(2)).expect("a lock");
    assert_ne!(next, lock);
    assert!(next.unlock("the first passphrase").is_err());
    let (again, _) = next.unlock("the second passphrase").expect("opens");
    assert_eq!(again.open("k", &closed).as_deref(), Ok("text"));
}

#[test]
fn a_damaged_lock_is_told_and_costs_neither_memory_nor_time() {
    let (lock, ..) = Lock::new("a good passphrase", CHEAP, &fresh(1)).expect("a lock");
    let text = lock.text();
    for (from, to, key) in [
        ("cutline-lock", "other", "error-seal-lock"),
        (r#""version":1"#, r#""version":2"#, "error-seal-newer"),
        (r#""memory_kib":64"#, r#""memory_kib":4000000000"#, "error-seal-lock"),
        (r#""passes":1"#, r#""passes":4000000000"#, "error-seal-lock"),
        (r#""lanes":1"#, r#""lanes":0"#, "error-seal-lock"),
        (r#""salt":""#, r#""salt":"!"#, "error-seal-lock"),
        ("}", "", "error-seal-lock"),
    ] {
        let altered = text.replacen(from, to, 1);
        assert_ne!(altered, text, "{from}");
        let said = Lock::read(&altered).and_then(|lock| lock.unlock("a good passphrase").map(|_| ())).expect_err(from);
        assert_eq!(said.key, key, "{from}");
    }
    for seed in 0..300 {
        let mut numbers = Numbers::new(seed);
        let mut bytes = text.clone().into_bytes();
        let at = numbers.below(bytes.len());
        bytes[at] = b"0aZ/+\"{}:,x"[numbers.below(11)];
        if bytes == text.as_bytes() {
            continue;
        }
        let Ok(altered) = String::from_utf8(bytes) else { continue };
        // Nothing breaks; and a lock that still opens is one whose meaning is the same.
        if let Ok(lock) = Lock::read(&altered) {
            let _ = lock.unlock("a good passphrase");
        }
    }
}

#[test]
fn the_cost_for_tablets_is_paid_in_a_moment() {
    let begun = std::time::Instant::now();
    let (lock, ..) = Lock::new("a good passphrase", Cost::TABLET, &fresh(1)).expect("a lock");
    lock.unlock("a good passphrase").expect("opens");
    println!("two tries of {:?}: {:?}", Cost::TABLET, begun.elapsed());
}
