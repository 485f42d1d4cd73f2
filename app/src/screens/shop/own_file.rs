//! Taking the shop's own list or book from a file, and telling what became of it.
//!
//! A file with a fault is refused with every fault and its place; what was in force stays.

use crate::platform::picked::{Picked, Unread};
use crate::widgets::Icon;
use crate::words::{count, raised, t, tf};
use leptos::prelude::*;
use leptos::task::spawn_local;

/// A fault: its place, which may be empty, and what is wrong there.
pub(super) type Fault = (String, String);

/// What became of the file that was given last.
#[derive(Clone)]
pub(super) enum Outcome {
    /// It was taken, in words.
    Taken(String),
    /// It was not.
    Refused {
        /// Its name.
        file: String,
        /// All of its faults.
        faults: Vec<Fault>,
    },
}

/// Takes the first of the files that are given: `read` gets its text and name, puts it into force and says so, or names
/// its faults. One longer than `most` bytes is refused with the message `large`.
pub(super) fn taking(
    outcome: RwSignal<Option<Outcome>>,
    most: usize,
    large: &'static str,
    read: impl Fn(String, &str) -> Result<String, Vec<Fault>> + Copy + 'static,
) -> impl Fn(Vec<Picked>) + Copy + 'static {
    move |files| {
        let Some(file) = files.into_iter().next() else { return };
        spawn_local(async move {
            let name = file.name();
            let nowhere = |what| Err(vec![(String::new(), what)]);
            let taken = match file.text(most).await {
                Ok(text) => read(text, &name),
                Err(Unread::Large) => nowhere(tf(large, &[("most", &(most >> 10).to_string())])),
                Err(Unread::Broken) => nowhere(t("gate-file-unreadable")),
            };
            // The shop may have been left meanwhile.
            outcome.try_set(Some(match taken {
                Ok(words) => Outcome::Taken(words),
                Err(faults) => Outcome::Refused { file: name, faults },
            }));
        });
    }
}

/// What became of the file, told and read aloud.
#[component]
pub(super) fn Told(outcome: RwSignal<Option<Outcome>>) -> impl IntoView {
    view! {
        <div role="status">
            {move || match outcome.get() {
                Some(Outcome::Taken(words)) => Some(view! { <p class="given-taken"><Icon name="saved" />{words}</p> }),
                _ => None,
            }}
        </div>
        <div role="alert">
            {move || match outcome.get() {
                Some(Outcome::Refused { file, faults }) => Some(refused(&file, faults)),
                _ => None,
            }}
        </div>
    }
}

fn refused(file: &str, faults: Vec<Fault>) -> impl IntoView + use<> {
    let head = format!("{} {}", tf("shop-file-refused", &[("file", file)]), count("shop-file-faults", faults.len()));
    let fault = |(place, what): Fault| {
        let place = (!place.is_empty()).then(|| view! { <b>{raised(&place)}</b> });
        view! { <li>{place}<span>{what}</span></li> }
    };
    view! {
        <div class="file-refused">
            <p class="given-refused">
                <Icon name="caution" />
                <span>{head}</span>
            </p>
            <ul class="file-faults">{faults.into_iter().map(fault).collect_view()}</ul>
        </div>
    }
}
