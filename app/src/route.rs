//! Where in the app a person is, as a typed address after the hash sign: `#/walk/<job>/<place>/<layer>`.
//!
//! Reads and writes addresses; an address that means nothing leads to the gate. Never loads or changes a job.

use crate::platform::page;
use leptos::prelude::*;
use model::catalogue::Part;
use model::ids::PartId;
use model::scene::Place;
use model::terms::Layer;

/// A place of the app.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Route {
    /// The list of jobs, where a vehicle arrives.
    Gate,
    /// Walking round the truck of a job.
    Walk {
        /// The job.
        job: String,
        /// Where the person stands.
        place: Place,
        /// What is peeled away.
        layer: Layer,
    },
    /// The photos of a job.
    Photos {
        /// The job.
        job: String,
        /// The photo that shows large; `None` for all of them.
        photo: Option<String>,
    },
    /// The plan of a job.
    Plan {
        /// The job.
        job: String,
    },
    /// How the parts of a job go back together.
    Joints {
        /// The job.
        job: String,
        /// The part that is looked at; `None` for the first.
        part: Option<String>,
    },
    /// Settings of this tablet and of the shop.
    Shop,
}

impl Route {
    /// The walk of a job from where a walk starts: the left side, skin on.
    #[must_use]
    pub fn walk(job: &str) -> Self {
        Self::Walk { job: job.to_owned(), place: Place::Left, layer: Layer::Skin }
    }

    /// The job that the address names.
    #[must_use]
    pub fn job(&self) -> Option<&str> {
        match self {
            Self::Walk { job, .. } | Self::Photos { job, .. } | Self::Plan { job } | Self::Joints { job, .. } => {
                Some(job)
            }
            Self::Gate | Self::Shop => None,
        }
    }

    /// Reads an address, with or without its hash sign.
    #[must_use]
    pub fn read(address: &str) -> Self {
        let mut steps = address.trim_start_matches('#').split('/').filter(|step| !step.is_empty());
        match (steps.next(), steps.next()) {
            (Some("walk"), Some(job)) => Self::Walk {
                job: plain(job),
                place: steps.next().and_then(Place::from_word).unwrap_or(Place::Left),
                layer: steps.next().and_then(Layer::from_word).unwrap_or(Layer::Skin),
            },
            (Some("photos"), Some(job)) => Self::Photos { job: plain(job), photo: steps.next().map(plain) },
            (Some("plan"), Some(job)) => Self::Plan { job: plain(job) },
            (Some("joints"), Some(job)) => Self::Joints { job: plain(job), part: steps.next().map(plain) },
            (Some("shop"), None) => Self::Shop,
            _ => Self::Gate,
        }
    }

    /// The address with its hash sign.
    #[must_use]
    pub fn address(&self) -> String {
        match self {
            Self::Gate => "#/gate".to_owned(),
            Self::Walk { job, place, layer } => format!("#/walk/{}/{}/{}", coded(job), place.word(), layer.word()),
            Self::Photos { job, photo: None } => format!("#/photos/{}", coded(job)),
            Self::Photos { job, photo: Some(photo) } => format!("#/photos/{}/{}", coded(job), coded(photo)),
            Self::Plan { job } => format!("#/plan/{}", coded(job)),
            Self::Joints { job, part: None } => format!("#/joints/{}", coded(job)),
            Self::Joints { job, part: Some(part) } => format!("#/joints/{}/{}", coded(job), coded(part)),
            Self::Shop => "#/shop".to_owned(),
        }
    }
}

/// The address of the app as a signal. One for the whole app, made by [`provide`].
#[derive(Clone, Copy)]
pub struct Router(RwSignal<Route>, StoredValue<Option<PartId>>);

/// Makes the router, follows the browser's back and forward, and puts it into the context.
pub fn provide() -> Router {
    let router = Router(RwSignal::new(Route::read(&page::hash())), StoredValue::new(None));
    page::on_hash_change(move || {
        let now = Route::read(&page::hash());
        if router.0.try_get_untracked().is_some_and(|known| known != now) {
            router.0.set(now);
        }
    });
    provide_context(router);
    router
}

impl Router {
    /// The router of the app.
    #[must_use]
    pub fn get() -> Self {
        expect_context()
    }

    /// Where the person is; tracked.
    #[must_use]
    pub fn now(self) -> Route {
        self.0.get()
    }

    /// Where the person is; not tracked.
    #[must_use]
    pub fn peek(self) -> Route {
        self.0.get_untracked()
    }

    /// Goes there as a new step of the browser's history.
    pub fn go(self, to: Route) {
        page::set_hash(&to.address());
        self.0.set(to);
    }

    /// Goes to the walk of a job where a part shows; the walk opens the part's sheet.
    pub fn go_to_part(self, job: &str, part: &Part) {
        // Where most of it shows.
        let views = part.shapes.iter().map(|(view, area)| (view, area.size()));
        if let Some((view, _)) = views.max_by(|one, other| one.1.total_cmp(&other.1)) {
            self.1.set_value(Some(part.id.clone()));
            self.go(Route::Walk { job: job.to_owned(), place: Place::of(*view), layer: part.layer });
        }
    }

    /// The part whose sheet a walk should open when it begins; asked once.
    #[must_use]
    pub fn take_part(self) -> Option<PartId> {
        self.1.try_update_value(Option::take).flatten()
    }

    /// Goes there in place of the present step, so that "back" leaves the walk and does not unwind it.
    pub fn turn(self, to: Route) {
        page::replace_hash(&to.address());
        self.0.set(to);
    }
}

/// Job ids are letters, digits and hyphens; anything else is written as `%XX`.
fn coded(text: &str) -> String {
    use std::fmt::Write as _;
    let mut out = String::new();
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-_.~".contains(&byte) {
            out.push(char::from(byte));
        } else {
            let _ = write!(out, "%{byte:02X}"); // writing to a string cannot fail
        }
    }
    out
}

fn plain(text: &str) -> String {
    let bytes = text.as_bytes();
    let (mut out, mut at) = (Vec::with_capacity(bytes.len()), 0);
    while at < bytes.len() {
        let code = (bytes[at] == b'%').then(|| text.get(at + 1..at + 3)).flatten();
        match code.and_then(|code| u8::from_str_radix(code, 16).ok()) {
            Some(byte) => {
                out.push(byte);
                at += 3;
            }
            None => {
                out.push(bytes[at]);
                at += 1;
            }
        }
    }
    String::from_utf8_lossy(&out).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn an_address_reads_back_as_itself() {
        let mut routes = vec![Route::Gate, Route::Shop, Route::Plan { job: "a b/c%é".into() }];
        for one in [None, Some("rocker-left".to_owned())] {
            routes.push(Route::Joints { job: "demo".into(), part: one.clone() });
            routes.push(Route::Photos { job: "j1".into(), photo: one });
        }
        for place in Place::ALL {
            for layer in Layer::ALL {
                routes.push(Route::Walk { job: "demo-front-corner".into(), place, layer: *layer });
            }
        }
        for route in routes {
            assert_eq!(Route::read(&route.address()), route);
        }
    }

    #[test]
    fn an_address_that_means_nothing_leads_to_the_gate() {
        for address in ["", "#", "#/", "#/nowhere/x", "#/walk", "%%%"] {
            assert_eq!(Route::read(address), Route::Gate, "{address}");
        }
        assert_eq!(Route::read("#/walk/j1/moon/core"), Route::walk("j1"));
        assert_eq!(
            Route::read("#/walk/j%4/left"),
            Route::Walk { job: "j%4".into(), place: Place::Left, layer: Layer::Skin }
        );
    }
}
