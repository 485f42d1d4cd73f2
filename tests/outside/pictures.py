"""Makes picture files with Pillow, an imaging library that has nothing to do with this program, and says what is in them.

Without arguments: prints a JSON list of {name, file (hexadecimal), kind, width, height} of many forms of files.
With a folder as the argument: writes photos of one scene into it, one for each of the eight EXIF orientations, with a
place and a device in their EXIF data, and others; prints for each file what Pillow shows when it is turned upright.
With a folder and "look": reads pictures' names from standard input, a JSON list, and prints what Pillow finds in each.
"""

import io
import json
import os
import sys

from PIL import ExifTags, Image, ImageOps

COLOURS = {"nw": (200, 30, 30), "ne": (30, 160, 40), "sw": (30, 60, 200), "se": (240, 240, 240)}


def scene(width, height):
    """Four corners of four colours, so that each of the eight ways to turn it shows."""
    image = Image.new("RGB", (width, height))
    half = (width // 2, height // 2)
    for name, at in {"nw": (0, 0), "ne": (half[0], 0), "sw": (0, half[1]), "se": half}.items():
        image.paste(COLOURS[name], (at[0], at[1], at[0] + width - half[0], at[1] + height - half[1]))
    return image


def corners(image):
    image = image.convert("RGB")
    width, height = image.size
    near = lambda colour: min(COLOURS, key=lambda name: sum((a - b) ** 2 for a, b in zip(COLOURS[name], colour)))
    at = {"nw": (0.1, 0.1), "ne": (0.9, 0.1), "sw": (0.1, 0.9), "se": (0.9, 0.9)}
    return {name: near(image.getpixel((int(x * width), int(y * height)))) for name, (x, y) in at.items()}


def exif(orientation=None, padding=0):
    data = Image.Exif()
    if orientation:
        data[ExifTags.Base.Orientation] = orientation
    data[ExifTags.Base.Make] = "Invented Camera Works"
    data[ExifTags.Base.Model] = "Sample 1"
    gps = data.get_ifd(ExifTags.IFD.GPSInfo)
    gps[ExifTags.GPS.GPSLatitudeRef] = "N"
    gps[ExifTags.GPS.GPSLatitude] = (12.0, 34.0, 56.0)
    gps[ExifTags.GPS.GPSLongitudeRef] = "E"
    gps[ExifTags.GPS.GPSLongitude] = (1.0, 2.0, 3.0)
    data._ifds[ExifTags.IFD.GPSInfo] = gps
    if padding:
        data[ExifTags.Base.ImageDescription] = "x" * padding
    return data


def saved(image, form, **how):
    out = io.BytesIO()
    image.save(out, form, **how)
    return out.getvalue()


def forms():
    image = scene(301, 203)
    yield "baseline", saved(image, "JPEG", quality=80), "jpeg"
    yield "progressive", saved(image, "JPEG", progressive=True), "jpeg"
    yield "grey", saved(image.convert("L"), "JPEG"), "jpeg"
    yield "long exif", saved(image, "JPEG", exif=exif(6, 60_000)), "jpeg"
    yield "colour profile", saved(image, "JPEG", icc_profile=bytes(200_000)), "jpeg"
    yield "cmyk", saved(image.convert("CMYK"), "JPEG"), "jpeg"
    yield "png", saved(image, "PNG"), "png"
    yield "png of a palette", saved(image.convert("P"), "PNG"), "png"
    yield "png of one bit", saved(image.convert("1"), "PNG"), "png"
    yield "webp", saved(image, "WEBP"), "webp"
    yield "webp without loss", saved(image, "WEBP", lossless=True), "webp"
    yield "webp with exif", saved(image, "WEBP", exif=exif(6)), "webp"
    see_through = image.convert("RGBA")
    see_through.putalpha(90)
    yield "webp to see through", saved(see_through, "WEBP"), "webp"
    yield "gif", saved(image, "GIF"), None
    yield "bmp", saved(image, "BMP"), None
    yield "tiff", saved(image, "TIFF"), None
    yield "avif", saved(image, "AVIF"), None
    yield "pdf", saved(image, "PDF"), None


def told(path):
    with Image.open(path) as image:
        upright = ImageOps.exif_transpose(image)
        data = image.getexif()
        return {
            "form": image.format,
            "size": list(image.size),
            "upright": list(upright.size),
            "corners": corners(upright),
            "tags": len(data) + len(data.get_ifd(ExifTags.IFD.GPSInfo)),
            "orientation": data.get(ExifTags.Base.Orientation),
            "info": sorted(set(image.info) & {"exif", "xmp", "comment", "icc_profile", "photoshop"}),
        }


def photos(folder):
    files = {}
    for orientation in range(1, 9):
        files[f"turned-{orientation}.jpg"] = saved(scene(640, 400), "JPEG", exif=exif(orientation), quality=90)
    files["plain.png"] = saved(scene(500, 300), "PNG")
    files["plain.webp"] = saved(scene(500, 300), "WEBP")
    files["small.jpg"] = saved(scene(120, 80), "JPEG")
    # 12 megapixels with noise, as a camera makes them: some megabytes.
    noise = Image.effect_noise((1000, 750), 60).resize((4000, 3000))
    large = Image.blend(scene(4000, 3000), Image.merge("RGB", [noise] * 3), 0.3)
    files["camera.jpg"] = saved(large, "JPEG", quality=92, exif=exif(6))
    for name, content in files.items():
        with open(os.path.join(folder, name), "wb") as file:
            file.write(content)
    return {name: told(os.path.join(folder, name)) for name in files}


if len(sys.argv) == 1:
    list_of = []
    for name, content, kind in forms():
        with Image.open(io.BytesIO(content)) if kind else io.BytesIO() as image:
            width, height = image.size if kind else (0, 0)
        list_of.append({"name": name, "file": content.hex(), "kind": kind, "width": width, "height": height})
    print(json.dumps(list_of))
elif len(sys.argv) == 2:
    print(json.dumps(photos(sys.argv[1])))
else:
    print(json.dumps([told(os.path.join(sys.argv[1], name)) for name in json.load(sys.stdin)]))
