//! The one affine between the truck's screen millimetres and the pixels of the map: scale and shift, nothing else.
//!
//! Pure arithmetic, tested without a browser. It never knows what is drawn and never reads the page.

/// A point on the map in CSS pixels from its upper left corner, or in screen millimetres where a name says so.
pub type Xy = (f64, f64);

/// Greatest zoom, as a multiple of the scale at which the whole fits.
const ZOOM_MAX: f64 = 14.0;
/// Up to this multiple of the fitting scale the picture counts as not zoomed, so a drag walks on.
const ZOOMED: f64 = 1.03;

/// A rectangle: left, top, width, height.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Frame {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Width, not negative.
    pub width: f64,
    /// Height, not negative.
    pub height: f64,
}

/// Where the truck stands on the map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// CSS pixels for each millimetre, above 0.
    pub scale: f64,
    /// Shift to the right, CSS pixels.
    pub x: f64,
    /// Shift down, CSS pixels.
    pub y: f64,
    /// The scale at which the wanted window just fits.
    pub fit: f64,
    /// The greatest scale.
    pub most: f64,
}

impl Default for Camera {
    fn default() -> Self {
        Self { scale: 0.1, x: 0.0, y: 0.0, fit: 0.1, most: 0.1 * ZOOM_MAX }
    }
}

impl Camera {
    /// The camera that shows `window` (screen mm) as large as it fits into a map of `size` pixels with `margin` pixels
    /// around it, in the middle.
    #[must_use]
    pub fn fitting(window: Frame, size: Xy, margin: f64) -> Self {
        let room = ((size.0 - 2.0 * margin).max(40.0), (size.1 - 2.0 * margin).max(40.0));
        let scale = (room.0 / window.width.max(1.0)).min(room.1 / window.height.max(1.0));
        let middle = (window.left + window.width / 2.0, window.top + window.height / 2.0);
        let (x, y) = (size.0 / 2.0 - middle.0 * scale, size.1 / 2.0 - middle.1 * scale);
        Self { scale, x, y, fit: scale, most: scale * ZOOM_MAX }
    }

    /// Screen millimetres under a pixel.
    #[must_use]
    pub fn to_mm(&self, px: Xy) -> Xy {
        ((px.0 - self.x) / self.scale, (px.1 - self.y) / self.scale)
    }

    /// The pixel that shows a point given in screen millimetres.
    #[must_use]
    pub fn to_px(&self, mm: Xy) -> Xy {
        (mm.0 * self.scale + self.x, mm.1 * self.scale + self.y)
    }

    /// Zoomed by `factor` about a pixel that stays where it is, within the limits.
    #[must_use]
    pub fn zoomed(&self, factor: f64, about: Xy) -> Self {
        let scale = (self.scale * factor).clamp(self.fit, self.most);
        let mm = self.to_mm(about);
        Self { scale, x: about.0 - mm.0 * scale, y: about.1 - mm.1 * scale, ..*self }
    }

    /// Moved and zoomed so that `window` (screen mm) fills a map of `size` pixels with `margin` pixels around it, within
    /// the limits of this camera.
    #[must_use]
    pub fn framed(&self, window: Frame, size: Xy, margin: f64) -> Self {
        let own = Self::fitting(window, size, margin);
        let middle = (size.0 / 2.0, size.1 / 2.0);
        let near = Self { fit: self.fit, most: self.most, ..own };
        near.zoomed(1.0, middle)
    }

    /// The same camera, but it zooms in at least until a millimetre is so many pixels.
    #[must_use]
    pub fn reaching(&self, px_per_mm: f64) -> Self {
        Self { most: self.most.max(px_per_mm), ..*self }
    }

    /// Shifted by pixels.
    #[must_use]
    pub fn shifted(&self, by: Xy) -> Self {
        Self { x: self.x + by.0, y: self.y + by.1, ..*self }
    }

    /// Whether the picture is larger than fitting, so that a drag pans.
    #[must_use]
    pub fn is_zoomed(&self) -> bool {
        self.scale > self.fit * ZOOMED
    }

    /// Pulled back so that some of `bounds` (screen mm) stays under the middle of a map of `size` pixels.
    #[must_use]
    pub fn kept_on(&self, bounds: Frame, size: Xy) -> Self {
        let middle = self.to_mm((size.0 / 2.0, size.1 / 2.0));
        let inside = (
            middle.0.clamp(bounds.left, bounds.left + bounds.width),
            middle.1.clamp(bounds.top, bounds.top + bounds.height),
        );
        self.shifted(((middle.0 - inside.0) * self.scale, (middle.1 - inside.1) * self.scale))
    }

    /// The `transform` attribute of the one group that holds the truck.
    #[must_use]
    pub fn transform(&self) -> String {
        format!("matrix({0:.6} 0 0 {0:.6} {1:.3} {2:.3})", self.scale, self.x, self.y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    const TRUCK: Frame = Frame { left: -900.0, top: -1950.0, width: 5900.0, height: 1950.0 };

    #[test]
    fn a_fitting_window_lies_in_the_middle_and_inside() {
        let camera = Camera::fitting(TRUCK, (390.0, 420.0), 12.0);
        let (left, top) = camera.to_px((TRUCK.left, TRUCK.top));
        let (right, bottom) = camera.to_px((TRUCK.left + TRUCK.width, TRUCK.top + TRUCK.height));
        assert!((left - 12.0).abs() < 1e-6 && (right - 378.0).abs() < 1e-6);
        assert!((top + bottom - 420.0).abs() < 1e-6 && top > 12.0);
    }

    #[test]
    fn pixels_and_millimetres_are_inverse() {
        let camera = Camera::fitting(TRUCK, (820.0, 700.0), 20.0).zoomed(3.0, (100.0, 300.0)).shifted((17.0, -4.0));
        let there = camera.to_px(camera.to_mm((123.0, 456.0)));
        assert!((there.0 - 123.0).abs() < 1e-9 && (there.1 - 456.0).abs() < 1e-9);
    }

    #[test]
    fn zoom_keeps_the_point_under_the_fingers_and_the_limits() {
        let camera = Camera::fitting(TRUCK, (820.0, 700.0), 20.0);
        let before = camera.to_mm((300.0, 200.0));
        let after = camera.zoomed(2.5, (300.0, 200.0)).to_mm((300.0, 200.0));
        assert!((before.0 - after.0).abs() < 1e-6 && (before.1 - after.1).abs() < 1e-6);
        assert!((camera.zoomed(1000.0, (0.0, 0.0)).scale - camera.fit * ZOOM_MAX).abs() < 1e-9);
        assert!((camera.zoomed(0.01, (0.0, 0.0)).scale - camera.fit).abs() < 1e-12);
        assert!(!camera.is_zoomed() && camera.zoomed(1.2, (0.0, 0.0)).is_zoomed());
    }

    #[test]
    fn a_small_window_is_framed_within_the_limits() {
        let camera = Camera::fitting(TRUCK, (390.0, 420.0), 12.0).reaching(3.0);
        let window = Frame { left: 100.0, top: -800.0, width: 150.0, height: 100.0 };
        let near = camera.framed(window, (390.0, 420.0), 20.0);
        let (left, _) = near.to_px((100.0, -800.0));
        assert!((left - 20.0).abs() < 1e-6 && (near.fit - camera.fit).abs() < 1e-12);
        let (middle, _) = near.to_px((175.0, -750.0));
        assert!((middle - 195.0).abs() < 1e-6);
        let tiny = Frame { width: 1.0, height: 1.0, ..window };
        assert!((camera.framed(tiny, (390.0, 420.0), 20.0).scale - 3.0).abs() < 1e-9);
    }

    #[test]
    fn the_truck_cannot_be_lost() {
        let camera = Camera::fitting(TRUCK, (390.0, 420.0), 12.0).zoomed(4.0, (10.0, 10.0)).shifted((5000.0, -9000.0));
        let kept = camera.kept_on(TRUCK, (390.0, 420.0));
        let middle = kept.to_mm((195.0, 210.0));
        assert!(middle.0 >= TRUCK.left - 1e-6 && middle.1 <= TRUCK.top + TRUCK.height + 1e-6);
    }
}
