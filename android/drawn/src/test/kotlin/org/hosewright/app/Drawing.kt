package org.hosewright.app

import android.graphics.Bitmap
import android.graphics.Canvas
import android.graphics.Rect
import android.view.View
import android.view.ViewGroup
import android.widget.AdapterView
import android.widget.EditText
import android.widget.ScrollView
import android.widget.TextView
import java.awt.image.BufferedImage
import java.io.File
import javax.imageio.IIOImage
import javax.imageio.ImageIO
import javax.imageio.ImageWriteParam
import kotlin.math.pow
import org.hosewright.core.Verdict
import org.hosewright.core.verdictSigns

/**
 * A window as it is drawn: what is seen at first, and the whole of the column
 * that scrolls. [complaints] says what of it cannot be read, touched or found.
 */
class Drawing(private val root: View) {
    private val density = root.resources.displayMetrics.density
    private val scroll = root.everything().filterIsInstance<ScrollView>().firstOrNull { it.isShown }
    private val column = scroll?.getChildAt(0)

    private val labelled = root.everything().map { it.labelFor }.toSet()

    /** What is seen at first. */
    val window: Bitmap = drawn(root)

    /** All that can be scrolled to. */
    val whole: Bitmap? = column?.let(::drawn)

    private fun drawn(view: View): Bitmap {
        val bitmap = Bitmap.createBitmap(view.width, view.height, Bitmap.Config.ARGB_8888)
        val canvas = Canvas(bitmap)
        if (view !== root) canvas.drawColor(root.context.getColor(R.color.ground))
        view.draw(canvas)
        return bitmap
    }

    /** Keeps it as a picture; also of [all] that can be scrolled to. */
    fun keep(name: String, all: Boolean = false) {
        val folder = File(System.getProperty("hosewright.pictures")).apply { mkdirs() }
        save(window, File(folder, "$name.png"))
        if (all && whole != null && scroll != null && whole.height > scroll.height) save(whole, File(folder, "$name-whole.png"))
    }

    /** The framework's own writer packs as small as can be, which takes most of a test's time. */
    private fun save(bitmap: Bitmap, file: File) {
        val pixels = IntArray(bitmap.width * bitmap.height)
        bitmap.getPixels(pixels, 0, bitmap.width, 0, 0, bitmap.width, bitmap.height)
        val picture = BufferedImage(bitmap.width, bitmap.height, BufferedImage.TYPE_INT_RGB)
        picture.setRGB(0, 0, bitmap.width, bitmap.height, pixels, 0, bitmap.width)
        val writer = ImageIO.getImageWritersByFormatName("png").next()
        val quick = writer.defaultWriteParam.apply {
            compressionMode = ImageWriteParam.MODE_EXPLICIT
            compressionQuality = 0.85f
        }
        file.delete()
        ImageIO.createImageOutputStream(file).use {
            writer.output = it
            writer.write(null, IIOImage(picture, null, null), quick)
        }
        writer.dispose()
    }

    /** How much of the picture has a colour, in pixels. */
    fun pixels(colour: Int): Int = colours(window, Rect(0, 0, window.width, window.height))[colour] ?: 0

    /** What is wrong with it; nothing if all is well. */
    fun complaints(): List<String> {
        val shown = root.everything().filter { it.isShown && it.width > 0 }
        val texts = shown.filterIsInstance<TextView>().filter { it.text.isNotEmpty() }
        return shown.filter { it.isClickable && it !is AdapterView<*> }.flatMap(::touching) +
            texts.flatMap(::reading) +
            shown.flatMap(::placing) +
            order(shown) +
            listOfNotNull(
                "nothing is drawn".takeIf { colours(window, Rect(0, 0, window.width, window.height)).size < 8 },
                "the obstacle is not seen".takeIf { shown.any { it.stops() && !it.getGlobalVisibleRect(Rect()) } },
                "nothing can be read".takeIf { texts.isEmpty() },
                "the end cannot be scrolled to".takeIf { !endIsReached() },
            )
    }

    private fun View.stops() = accessibilityLiveRegion == View.ACCESSIBILITY_LIVE_REGION_ASSERTIVE && says().isNotEmpty()

    private fun touching(view: View): List<String> {
        val (wide, high) = view.width / density to view.height / density
        val label = view.id != View.NO_ID && view.id in labelled
        return listOfNotNull(
            "${name(view)} is touched at $wide × $high dp".takeIf { wide < SMALLEST || high < SMALLEST },
            "${name(view)} has no name".takeIf { view.says().isEmpty() && !label && (view as? TextView)?.hint.isNullOrEmpty() },
        )
    }

    private fun reading(view: TextView): List<String> {
        val layout = view.layout ?: return listOf("${name(view)} has no layout")
        val room = view.height - view.compoundPaddingTop - view.compoundPaddingBottom
        val across = view.width - view.compoundPaddingLeft - view.compoundPaddingRight
        val lines = 0 until layout.lineCount
        val contrast = contrast(view)
        return listOfNotNull(
            "${name(view)} is not drawn".takeIf { wholly(view) && colours(window, placeIn(root, view)).size < 2 },
            "${name(view)} ends in dots".takeIf { lines.any { layout.getEllipsisCount(it) > 0 } },
            "${name(view)} is cut off below".takeIf { layout.height > room + 1 && view !is EditText },
            "${name(view)} is cut off at the side".takeIf { view !is EditText && lines.any { layout.getLineMax(it) > across + 1 } },
            "${name(view)} breaks a word: ${broken(view)}".takeIf { broken(view) != null },
            "${name(view)} stands out at $contrast : 1".takeIf { contrast < if (view.isEnabled) PLAIN else 1.0 },
        )
    }

    private fun wholly(view: View): Boolean {
        val seen = Rect()
        return view.getLocalVisibleRect(seen) && seen.height() == view.height && seen.width() == view.width
    }

    /** A word that a line's end goes through. */
    private fun broken(view: TextView): String? {
        if (view is EditText) return null
        val (layout, text) = view.layout to view.text
        for (line in 0 until layout.lineCount - 1) {
            val end = layout.getLineEnd(line)
            if (text[end - 1].isLetter() && text[end].isLetter()) return text.substring(layout.getLineStart(line), end)
        }
        return null
    }

    private fun placing(view: View): List<String> {
        val at = placeIn(root, view)
        val out = at.left < 0 || at.right > root.width
        val parent = view.parent as? ViewGroup
        val over = parent != null && parent !is ScrollView && parent.width > 0 && (view.bottom > parent.height || view.right > parent.width)
        return listOfNotNull(
            "${name(view)} lies outside of the screen: $at".takeIf { out },
            "${name(view)} is larger than what holds it".takeIf { over },
        )
    }

    /** What a screen reader comes to next stands further down, or further on in the same line. */
    private fun order(shown: List<View>): List<String> {
        val stops = shown.filter { it.isImportantForAccessibility && it.says().isNotEmpty() && it !is ViewGroup || it.isFocusable && it.says().isNotEmpty() }
            .filterNot { it.hiddenByParent() }
        val (scrolled, fixed) = stops.partition { column != null && it.isIn(column) }
        return (scrolled.zipWithNext() + fixed.zipWithNext())
            .filter { (one, next) -> placeIn(root, next).bottom <= placeIn(root, one).top }
            .map { (one, next) -> "${name(next)} comes after ${name(one)} and stands above it" }
    }

    private fun View.hiddenByParent(): Boolean =
        generateSequence(parent as? View) { it.parent as? View }
            .any { it.importantForAccessibility == View.IMPORTANT_FOR_ACCESSIBILITY_NO_HIDE_DESCENDANTS }

    private fun endIsReached(): Boolean {
        val (scroll, column) = (scroll ?: return true) to (column ?: return true)
        val before = scroll.scrollY
        scroll.scrollTo(0, Int.MAX_VALUE / 2)
        val reached = scroll.scrollY + scroll.height >= column.bottom && scroll.height > SMALLEST * density
        scroll.scrollTo(0, before)
        return reached
    }

    /** The text's colour against what is drawn behind it: the commonest colour there. */
    fun contrast(view: TextView): Double {
        val within = column != null && view.isIn(column)
        val (bitmap, base) = if (within) whole!! to column!! else window to root
        val at = placeIn(base, view)
        if (!at.intersect(0, 0, bitmap.width, bitmap.height)) return 1.0
        val behind = colours(bitmap, at).maxBy { it.value }.key
        return contrast(view.currentTextColor, behind)
    }

    private fun View.isIn(group: View) = generateSequence(this) { it.parent as? View }.any { it === group }

    /** How often each colour is there. */
    private fun colours(bitmap: Bitmap, at: Rect): Map<Int, Int> {
        val pixels = IntArray(at.width() * at.height())
        bitmap.getPixels(pixels, 0, at.width(), at.left, at.top, at.width(), at.height())
        pixels.sort()
        val found = HashMap<Int, Int>()
        var begun = 0
        for (next in 1..pixels.size) {
            if (next < pixels.size && pixels[next] == pixels[begun]) continue
            found[pixels[begun]] = next - begun
            begun = next
        }
        return found
    }

    private fun placeIn(base: View, view: View): Rect {
        val at = Rect(0, 0, view.width, view.height)
        (base as ViewGroup).offsetDescendantRectToMyCoords(view, at)
        return at
    }

    private fun name(view: View) = "${view.javaClass.simpleName} \"${view.says().take(40)}\""

    companion object {
        /** The smallest target, in dp. */
        const val SMALLEST = 48

        /** What text has to stand out by. */
        const val PLAIN = 7.0

        /** The colour of a verdict's sign, opaque. */
        fun colour(verdict: Verdict): Int = 0xFF000000.toInt() or verdictSigns().first { it.verdict == verdict }.colour.toInt()

        /** Contrast ratio as WCAG 2.2 defines it (W3C, 2023). */
        fun contrast(one: Int, other: Int): Double {
            val (dark, light) = listOf(luminance(one), luminance(other)).sorted()
            return (light + 0.05) / (dark + 0.05)
        }

        private fun luminance(rgb: Int): Double {
            fun channel(shift: Int): Double {
                val part = (rgb shr shift and 255) / 255.0
                return if (part <= 0.04045) part / 12.92 else ((part + 0.055) / 1.055).pow(2.4)
            }
            return 0.2126 * channel(16) + 0.7152 * channel(8) + 0.0722 * channel(0)
        }
    }
}
