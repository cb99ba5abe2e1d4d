"""A barcode of every kind that makers print, written by zxing-cpp: its text, its
width in pixels and its grey values in hexadecimal digits, a line each."""
import numpy
import zxingcpp

F = zxingcpp.BarcodeFormat
CODES = [
    (F.EAN13, "4006381333931"),
    (F.EAN8, "96385074"),
    (F.UPCA, "036000291452"),
    (F.UPCE, "01234565"),
    (F.Code128, "Hose-27/b 0042"),
    (F.Code128, "31001171800000017989"),
    (F.Code39, "LP-0427"),
    (F.Code93, "LP-0427"),
    (F.ITF, "30885909173823"),
    (F.Codabar, "A40156B"),
    (F.DataMatrix, "LP-0427/2031"),
]

for format, text in CODES:
    made = zxingcpp.create_barcode(text, format)
    image = numpy.asarray(zxingcpp.write_barcode_to_image(made, scale=2))
    image = numpy.pad(image, 30, constant_values=255)
    print(text, image.shape[1], image.tobytes().hex(), sep="\t")
