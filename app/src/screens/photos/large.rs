//! One photo large: its pins, each of which points to a mark, its note, and what can be done with it.
//!
//! A pin is put in the middle and then moved: by a tap on the picture or by the arrow keys, as the person likes.

use super::Album;
use crate::platform::camera::Shown;
use crate::platform::{clock, page};
use crate::route::Router;
use crate::state::Size;
use crate::thumb::when;
use crate::widgets::Icon;
use crate::words::{t, tf};
use leptos::ev;
use leptos::prelude::*;
use leptos::task::spawn_local;
use model::ids::{MarkId, PhotoId};
use model::job::{PIN_FAR, PhotoField, Pin};

/// How far an arrow key moves a pin.
const STEP: i32 = 200;

/// The large picture over the screen.
#[component]
pub fn Large(
    /// The photo.
    id: PhotoId,
    /// The photos among which "next" and "before" go.
    shown: Memo<Vec<PhotoId>>,
) -> impl IntoView {
    let album = Album::get();
    let own = StoredValue::new(id.clone());
    let photo = Memo::new(move |_| own.with_value(|id| album.photo(id)));
    let picture = StoredValue::new_local(None::<Shown>);
    let address = RwSignal::new(None::<Option<String>>);
    let selected = RwSignal::new(None::<MarkId>);
    if let Some(job) = album.job.with_untracked(|job| job.as_ref().map(|job| job.id.clone())) {
        spawn_local(async move {
            let bytes = album.app.photo_bytes(&job, &id, Size::Full).await;
            let made = bytes.and_then(|bytes| Shown::new(&bytes));
            let found = made.as_ref().map(|made| made.address().to_owned());
            // The person may have gone on by now.
            if address.try_get_untracked().is_some() {
                picture.set_value(made);
                address.set(Some(found));
            }
        });
    }
    page::next_frame(|| page::focus(".photo-large [data-act=\"close\"]"));
    let close = move || {
        let back = own.with_value(|id| format!("[data-photo=\"{id}\"] .photo-open"));
        album.open.set(None);
        page::next_frame(move || page::focus(&back));
    };
    let turn = move |by: i32| {
        shown.with_untracked(|all| {
            let at = own.with_value(|own| all.iter().position(|id| id == own));
            let next = at.and_then(|at| at.checked_add_signed(by as isize)).and_then(|at| all.get(at));
            if let Some(next) = next {
                album.open.set(Some(next.clone()));
            }
        });
    };
    let place_pin = move |mark: &MarkId, to: &dyn Fn(&Pin) -> (i32, i32)| {
        let Some(photo) = photo.get_untracked() else { return };
        let mut pins = photo.pins;
        if let Some(pin) = pins.iter_mut().find(|pin| pin.mark == *mark) {
            let (x, y) = to(pin);
            let inside = |value: i32| u16::try_from(value.clamp(0, i32::from(PIN_FAR))).unwrap_or(PIN_FAR);
            (pin.x, pin.y) = (inside(x), inside(y));
        }
        own.with_value(|id| album.edit(id, PhotoField::Pins(pins)));
    };
    let pressed = move |event: &ev::KeyboardEvent| {
        let pin = page::attribute_of_target(event, "data-pin").map(MarkId::from);
        let typing = page::attribute_of_target(event, "data-types").is_some();
        let arrow = match event.key().as_str() {
            "ArrowLeft" => (-STEP, 0),
            "ArrowRight" => (STEP, 0),
            "ArrowUp" => (0, -STEP),
            "ArrowDown" => (0, STEP),
            "Escape" => return close(),
            _ => return,
        };
        if typing {
            return;
        }
        event.prevent_default();
        match pin {
            Some(mark) => place_pin(&mark, &|pin| (i32::from(pin.x) + arrow.0, i32::from(pin.y) + arrow.1)),
            None => turn(arrow.0.signum()),
        }
    };
    let tapped = move |event: &ev::MouseEvent| {
        let (Some(mark), Some(target)) = (selected.get_untracked(), event.current_target()) else { return };
        if page::attribute_of_target(event, "data-pin").is_some() {
            return;
        }
        let (left, top, width, height) = page::target_frame(&target);
        if width > 0.0 && height > 0.0 {
            let far = f64::from(PIN_FAR);
            #[allow(clippy::cast_possible_truncation)] // clamped where it is placed
            let at = |value: f64, low: f64, size: f64| ((value - low) / size * far).round() as i32;
            let to = (at(f64::from(event.client_x()), left, width), at(f64::from(event.client_y()), top, height));
            place_pin(&mark, &|_| to);
        }
    };
    let pins =
        Memo::new(move |_| photo.with(|photo| photo.as_ref().map(|photo| photo.pins.clone()).unwrap_or_default()));
    let unpinned = Memo::new(move |_| {
        let pins = pins.get();
        album.job.with(|job| {
            let marks = job.iter().flat_map(|job| job.marks.keys());
            marks.filter(|mark| !pins.iter().any(|pin| pin.mark == **mark)).cloned().collect::<Vec<_>>()
        })
    });
    let name = move || photo.get().map(|photo| album.name(&photo)).unwrap_or_default();
    let shape = move || {
        photo.with(|photo| {
            photo.as_ref().map_or_else(String::new, |p| format!("--wide:{};--high:{}", p.taken.width, p.taken.height))
        })
    };
    view! {
        <section
            class="photo-large"
            role="dialog"
            aria-modal="true"
            aria-label=name
            on:keydown=move |event| pressed(&event)
        >
            <header class="photo-head">
                <button type="button" class="key" data-act="before" aria-label=t("photo-before") on:click=move |_| turn(-1)>
                    <Icon name="back" />
                </button>
                <p class="photo-title">{name}</p>
                <button type="button" class="key" data-act="next" aria-label=t("photo-next") on:click=move |_| turn(1)>
                    <Icon name="open" />
                </button>
                <button type="button" class="key" data-act="close" aria-label=t("ui-close") on:click=move |_| close()>
                    <Icon name="close" />
                </button>
            </header>
            <div class="photo-stage">
                // The keyboard moves a pin by the pin itself; the picture only takes taps.
                <div class="photo-picture" style=shape on:click=move |event| tapped(&event)>
                    {move || match address.get() {
                        Some(Some(address)) => view! { <img src=address alt=name /> }.into_any(),
                        Some(None) => view! { <p class="photo-missing">{t("photo-missing-why")}</p> }.into_any(),
                        None => ().into_any(),
                    }}
                    <For each=move || pins.get() key=|pin| pin.mark.clone() let:pin>
                        <PinKey mark=pin.mark pins=pins selected=selected />
                    </For>
                </div>
            </div>
            <div class="photo-side">
                {move || selected.get().map(|mark| view! { <Chosen id=own mark=mark pins=pins selected=selected /> })}
                <Show when=move || unpinned.with(|marks| !marks.is_empty())>
                    <label class="photo-field">
                        <span>{t("photo-pin-add")}</span>
                        <select
                            data-types=""
                            data-act="pin"
                            on:change=move |event| {
                                let mark = MarkId::from(event_target_value(&event));
                                if mark.0.is_empty() {
                                    return;
                                }
                                let mut all = pins.get_untracked();
                                all.push(Pin { mark: mark.clone(), x: PIN_FAR / 2, y: PIN_FAR / 2 });
                                own.with_value(|id| album.edit(id, PhotoField::Pins(all)));
                                page::next_frame({
                                    let pin = format!("[data-pin=\"{mark}\"]");
                                    move || page::focus(&pin)
                                });
                                selected.set(Some(mark));
                            }
                        >
                            <option value="">{t("photo-pin-choose")}</option>
                            <For each=move || unpinned.get() key=|mark| mark.clone() let:mark>
                                <option value=mark.to_string()>{album.mark_name(&mark)}</option>
                            </For>
                        </select>
                    </label>
                </Show>
                <label class="photo-field">
                    <span>{t("ui-note")}</span>
                    <textarea
                        rows="2"
                        maxlength="4000"
                        data-types=""
                        prop:value=move || photo.with(|photo| photo.as_ref().map(|p| p.note.clone()).unwrap_or_default())
                        on:change=move |event| {
                            own.with_value(|id| album.edit(id, PhotoField::Note(page::value_of_target(&event))));
                        }
                    ></textarea>
                </label>
                <p class="form-note">
                    {move || photo.with(|photo| photo.as_ref().map(|photo| {
                        let kilobytes = photo.taken.bytes.div_ceil(1000).to_string();
                        tf("photo-facts", &[
                            ("at", &when(&photo.taken.at)),
                            ("width", &photo.taken.width.to_string()),
                            ("height", &photo.taken.height.to_string()),
                            ("kilobytes", &kilobytes),
                        ])
                    }))}
                </p>
                <button
                    type="button"
                    class="key"
                    data-act="bin"
                    on:click=move |_| {
                        own.with_value(|id| album.edit(id, PhotoField::Binned(Some(clock::today()))));
                        close();
                    }
                >
                    <Icon name="delete" />
                    <span>{t("photo-bin")}</span>
                </button>
            </div>
        </section>
    }
}

/// A pin on the picture.
#[component]
fn PinKey(
    /// The mark that it points to.
    mark: MarkId,
    /// All pins.
    pins: Memo<Vec<Pin>>,
    /// The pin in hand.
    selected: RwSignal<Option<MarkId>>,
) -> impl IntoView {
    let album = Album::get();
    let own = StoredValue::new(mark.clone());
    let place = move || {
        let pin = pins.with(|pins| own.with_value(|own| pins.iter().find(|pin| pin.mark == *own).cloned()));
        pin.map(|pin| format!("left:{}%;top:{}%", f64::from(pin.x) / 100.0, f64::from(pin.y) / 100.0))
    };
    view! {
        <button
            type="button"
            class="photo-pin"
            data-pin=mark.to_string()
            style=place
            aria-pressed=move || selected.with(|now| own.with_value(|own| now.as_ref() == Some(own))).to_string()
            aria-label=move || own.with_value(|own| tf("photo-pin", &[("mark", &album.mark_name(own))]))
            on:click=move |_| own.with_value(|own| selected.set(Some(own.clone())))
        >
            <svg viewBox="0 -1 24 25" aria-hidden="true"><path d="M12 23L5 11A8 8 0 1 1 19 11Z"></path><circle cx="12" cy="8" r="3"></circle></svg>
        </button>
    }
}

/// The pin in hand: what it points to, how it moves, and away with it.
#[component]
fn Chosen(
    /// The photo.
    id: StoredValue<PhotoId>,
    /// The mark of the pin.
    mark: MarkId,
    /// All pins.
    pins: Memo<Vec<Pin>>,
    /// The pin in hand.
    selected: RwSignal<Option<MarkId>>,
) -> impl IntoView {
    let (album, router) = (Album::get(), Router::get());
    let (shown, gone) = (mark.clone(), mark.clone());
    view! {
        <div class="photo-chosen" data-chosen=mark.to_string()>
            <p><b>{album.mark_name(&mark)}</b></p>
            <p class="form-note">{t("photo-pin-move")}</p>
            <div class="photos-acts">
                <button
                    type="button"
                    class="key"
                    data-act="to-mark"
                    on:click=move |_| {
                        let found = album.job.with_untracked(|job| {
                            let job = job.as_ref()?;
                            Some((job.id.0.clone(), job.marks.get(&shown)?.part.clone()))
                        });
                        if let Some((job, part)) = found
                            && let Some(part) = album.planned.book.get_untracked().part(&part)
                        {
                            router.go_to_part(&job, part);
                        }
                    }
                >
                    {t("photo-to-mark")}
                </button>
                <button
                    type="button"
                    class="key"
                    data-act="unpin"
                    on:click=move |_| {
                        let mut all = pins.get_untracked();
                        all.retain(|pin| pin.mark != gone);
                        selected.set(None);
                        id.with_value(|id| album.edit(id, PhotoField::Pins(all)));
                    }
                >
                    {t("photo-unpin")}
                </button>
            </div>
        </div>
    }
}
