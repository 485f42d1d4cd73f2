//! The truck, what lies over it, the shared controls, and the walk under a finger, in a real browser.

use app::canvas::{Marks, Patterns, States, Truck};
use app::route::{self, Route};
use app::screens::walk::WalkScreen;
use app::state::AppState;
use app::widgets::{Choices, Pick, Sign, Stepper};
use app::{planned, platform::clock};
use leptos::mount::mount_to;
use leptos::prelude::*;
use model::catalogue::{Body, generic};
use model::geometry::{Bounds, Point};
use model::ids::{MarkId, PartId};
use model::scene::{Overlay, OverlayMark, OverlayPart, Place, scene};
use model::terms::{Action, Bed, Cab, Layer, MarkKind};
use std::cell::RefCell;
use std::rc::Rc;
use std::sync::{Arc, LazyLock};
use wasm_bindgen::JsCast;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
use web_sys::{Element, HtmlElement, PointerEvent, PointerEventInit};

wasm_bindgen_test_configure!(run_in_browser);

const SVG: &str = "http://www.w3.org/2000/svg";
const BODY: Body = Body { cab: Cab::FourDoor, bed: Bed::Short };

/// A place in the page of its own, so that tests do not see each other.
fn corner() -> HtmlElement {
    let document = web_sys::window().expect("a window").document().expect("a document");
    let element = document.create_element("div").expect("an element").unchecked_into::<HtmlElement>();
    document.body().expect("a body").append_child(&element).expect("a body takes elements");
    element
}

fn all(root: &HtmlElement, selector: &str) -> Vec<Element> {
    let found = root.query_selector_all(selector).expect("a readable selector");
    (0..found.length()).filter_map(|at| found.get(at)).map(JsCast::unchecked_into).collect()
}

fn one(root: &HtmlElement, selector: &str) -> Element {
    let found = all(root, selector);
    assert_eq!(found.len(), 1, "{selector}");
    found[0].clone()
}

fn press(element: &Element) {
    element.clone().unchecked_into::<HtmlElement>().click();
}

#[wasm_bindgen_test]
async fn every_part_is_a_named_button_in_the_svg_namespace_and_one_is_in_the_tab_order() {
    let root = corner();
    let drawing = Arc::new(scene(generic(BODY), Place::Left, Layer::Skin));
    let parts = drawing.panels[0].items.len();
    let focus = RwSignal::new("front-door-left".to_owned());
    let shown = drawing.clone();
    let handle = mount_to(root.clone(), move || view! { <svg><Truck scene=shown.clone() focus=focus /></svg> });
    let buttons = all(&root, "[role=button]");
    assert_eq!(buttons.len(), parts);
    for button in &buttons {
        assert_eq!(button.namespace_uri().as_deref(), Some(SVG));
        assert!(button.get_attribute("aria-label").is_some_and(|name| name.len() > 2 && !name.starts_with("part-")));
    }
    assert_eq!(one(&root, "[tabindex='0']").get_attribute("data-part").as_deref(), Some("front-door-left"));
    focus.set("fender-left".to_owned());
    clock::pause(20).await;
    assert_eq!(one(&root, "[tabindex='0']").get_attribute("data-part").as_deref(), Some("fender-left"));
    drop(handle);
}

/// The outline of every part: one text, as a scene has one.
static OUTLINE: LazyLock<Arc<str>> = LazyLock::new(|| Arc::from("M0 0H100V100Z"));

fn overlay(actions: &[(&str, Action)]) -> Arc<Overlay> {
    let parts = actions
        .iter()
        .map(|(part, action)| OverlayPart {
            part: PartId::from((*part).to_owned()),
            action: *action,
            path: OUTLINE.clone(),
            cuts: if *action == Action::Section { "M50 0V100".to_owned() } else { String::new() },
            label: Point::new(50.0, 50.0),
        })
        .collect();
    let marks = actions
        .iter()
        .map(|(part, _)| OverlayMark {
            mark: MarkId::from(format!("m-{part}")),
            part: PartId::from((*part).to_owned()),
            path: "M10 10H20V20Z".to_owned(),
            bounds: Bounds { low: Point::new(10.0, 10.0), high: Point::new(20.0, 20.0) },
        })
        .collect();
    Arc::new(Overlay { marks, parts })
}

#[wasm_bindgen_test]
async fn a_new_decision_redraws_only_its_own_part() {
    let root = corner();
    let shown = RwSignal::new(overlay(&[("roof", Action::Repair), ("hood", Action::Section)]));
    let handle = mount_to(root.clone(), move || {
        view! {
            <svg>
                <Patterns scale=Signal::derive(|| 0.1) />
                <States overlay=shown />
                <Marks overlay=shown selected=Signal::derive(|| "m-hood".to_owned()) />
            </svg>
        }
    });
    assert_eq!(all(&root, ".cut").len(), 1, "a section draws its cut line");
    assert_eq!(one(&root, ".mark.selected").get_attribute("data-mark").as_deref(), Some("m-hood"));
    for action in ["refinish", "repair", "section", "replace", "refer"] {
        assert_eq!(all(&root, &format!("#map-{action}")).len(), 1, "a hatch of its own for {action}");
    }
    let roof = one(&root, "[data-state-of=roof]");
    shown.set(overlay(&[("roof", Action::Repair), ("hood", Action::Replace)]));
    clock::pause(20).await;
    assert!(one(&root, "[data-state-of=roof]").is_same_node(Some(&roof)), "the roof was drawn again");
    assert_eq!(one(&root, "[data-state-of=hood]").get_attribute("data-action").as_deref(), Some("replace"));
    assert!(all(&root, ".cut").is_empty());
    drop(handle);
}

#[wasm_bindgen_test]
async fn choices_press_one_and_report_it() {
    let root = corner();
    let (value, told) = (RwSignal::new("b".to_owned()), Rc::new(RefCell::new(Vec::new())));
    let heard = told.clone();
    let handle = mount_to(root.clone(), move || {
        let heard = send_wrapper(heard.clone());
        view! {
            <Choices
                label="Depth".to_owned()
                picks=Signal::derive(|| vec![Pick::plain("a", "Three"), Pick::plain("b", "Ten")])
                value=value
                on_pick=Callback::new(move |word: String| heard(word))
            />
        }
    });
    assert_eq!(one(&root, "[role=group]").get_attribute("aria-label").as_deref(), Some("Depth"));
    assert_eq!(one(&root, "[aria-pressed=true]").text_content().as_deref(), Some("Ten"));
    press(&one(&root, "[data-value=a]"));
    assert_eq!(*told.borrow(), ["a"]);
    value.set("a".to_owned());
    clock::pause(20).await;
    assert_eq!(one(&root, "[aria-pressed=true]").text_content().as_deref(), Some("Three"));
    drop(handle);
}

/// Callbacks must be `Send`; a test in one thread may promise it through a channel.
fn send_wrapper(told: Rc<RefCell<Vec<String>>>) -> impl Fn(String) + Send + Sync + 'static {
    let told = StoredValue::new_local(told);
    move |word| told.with_value(|told| told.borrow_mut().push(word))
}

#[wasm_bindgen_test]
async fn a_stepper_stays_within_its_range() {
    let root = corner();
    let value = RwSignal::new(3);
    let handle = mount_to(root.clone(), move || {
        view! {
            <Stepper
                label="Length".to_owned()
                value=value
                shown=Signal::derive(move || format!("{} mm", value.get()))
                least=0
                most=10
                step=|_, _| 4
                less="Shorter".to_owned()
                more="Longer".to_owned()
                on_change=Callback::new(move |next| value.set(next))
            />
        }
    });
    for (name, wanted) in
        [("Longer", 7), ("Longer", 10), ("Longer", 10), ("Shorter", 6), ("Shorter", 2), ("Shorter", 0)]
    {
        press(&one(&root, &format!("[aria-label={name}]")));
        clock::pause(5).await;
        assert_eq!(value.get_untracked(), wanted, "{name}");
    }
    assert!(one(&root, "[aria-label=Shorter]").has_attribute("disabled"));
    assert_eq!(one(&root, "output").text_content().as_deref(), Some("0 mm"));
    drop(handle);
}

#[wasm_bindgen_test]
fn every_state_has_a_sign_that_needs_no_colour() {
    let mut drawn = Vec::new();
    for action in Action::ALL {
        let root = corner();
        let handle = mount_to(root.clone(), move || view! { <Sign state=action.word() /> });
        let shape = root.inner_html().replace(action.word(), "");
        let fill = one(&root, ".sign-fill").get_attribute("style").unwrap_or_default();
        drawn.push((shape, fill));
        drop(handle);
    }
    for (at, one) in drawn.iter().enumerate() {
        assert!(drawn.iter().skip(at + 1).all(|other| other != one), "two states share a sign: {one:?}");
    }
}

fn finger(map: &Element, kind: &str, at: (f64, f64)) {
    let init = PointerEventInit::new();
    init.set_bubbles(true);
    init.set_pointer_id(7);
    init.set_pointer_type("touch");
    #[allow(clippy::cast_possible_truncation)] // pixels of a page
    {
        init.set_client_x(at.0 as i32);
        init.set_client_y(at.1 as i32);
    }
    let event = PointerEvent::new_with_event_init_dict(kind, &init).expect("a pointer event");
    map.dispatch_event(&event).expect("the event is delivered");
}

/// The whole walk: one tap records a usable mark and its decision, a second says what it is, undo takes it back.
#[wasm_bindgen_test]
async fn a_tap_marks_and_decides_and_undo_takes_it_back() {
    let root = corner();
    root.set_attribute("style", "position:fixed;inset:0;width:800px;height:600px").expect("a style");
    let made = Rc::new(RefCell::new(None));
    let out = made.clone();
    let handle = mount_to(root.clone(), move || {
        let app = AppState::provide();
        planned::provide(app);
        let router = route::provide();
        let job = app.create("Tap", BODY);
        router.go(Route::walk(&job.0));
        *out.borrow_mut() = Some(app);
        view! { <div style="display:grid;height:600px"><style>".map{position:relative;width:800px;height:400px}"</style><WalkScreen /></div> }
    });
    let app = made.borrow().expect("the app was made");
    clock::pause(100).await;
    let map = one(&root, ".map-svg");
    map.set_attribute("style", "position:absolute;width:800px;height:400px").expect("a style");
    let door = one(&root, ".map-svg [data-part=front-door-left]").get_bounding_client_rect();
    let at = (door.x() + door.width() * 0.5, door.y() + door.height() * 0.75);
    finger(&map, "pointerdown", at);
    finger(&map, "pointerup", at);
    clock::pause(50).await;
    let marks = || app.open.with_untracked(|open| open.as_ref().map(|open| open.job.marks.clone()).unwrap_or_default());
    let (id, mark) = marks().into_iter().next().expect("the tap made a mark");
    assert_eq!((mark.part.as_str(), mark.kind), ("front-door-left", MarkKind::Dent));
    assert!(mark.shape.area().is_ok());
    assert!(root.text_content().unwrap_or_default().contains("Left front door"));
    let decided = one(&root, ".decision").get_attribute("data-action").unwrap_or_default();
    assert!(Action::from_word(&decided).is_some(), "a decision shows at once: {decided:?}");
    press(&one(&root, "[data-value=tear]"));
    clock::pause(50).await;
    assert_eq!(marks()[&id].kind, MarkKind::Tear);
    app.undo();
    clock::pause(50).await;
    assert_eq!(marks()[&id].kind, MarkKind::Dent);
    app.undo();
    clock::pause(50).await;
    assert!(marks().is_empty());
    assert!(one(&root, ".editor").has_attribute("hidden"), "the editor of a mark that is gone is gone too");
    drop(handle);
}
