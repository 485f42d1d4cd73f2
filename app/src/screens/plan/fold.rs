//! A line with a figure that opens to what it is made of; what is inside is made when it is first opened, and for paper.
//!
//! A native disclosure: keys, screen readers and the browser's search treat it as such.

use super::Desk;
use crate::platform::page;
use crate::widgets::Icon;
use leptos::prelude::*;

/// Name on the left, figure on the right, the inside below.
#[component]
pub fn Fold(
    /// Class beside `fold`.
    class: &'static str,
    /// What it is.
    #[prop(into)]
    name: String,
    /// What it comes to.
    #[prop(into)]
    figure: String,
    /// What tells it apart on the page.
    act: &'static str,
    /// Whether paper shows the inside.
    #[prop(default = true)]
    paper: bool,
    /// The inside.
    children: ChildrenFn,
) -> impl IntoView {
    let desk = Desk::get();
    let open = RwSignal::new(false);
    let shows = move || open.get() || (paper && desk.on_paper.get());
    view! {
        <details
            class=format!("fold {class}")
            data-fold=act
            prop:open=shows
            on:toggle=move |event| {
                if !desk.on_paper.get_untracked() {
                    open.set(page::is_open(&event));
                }
            }
        >
            <summary>
                <Icon name="open" />
                <span class="fold-name">{name}</span>
                <span class="cash">{figure}</span>
            </summary>
            <Show when=shows>{children()}</Show>
        </details>
    }
}
