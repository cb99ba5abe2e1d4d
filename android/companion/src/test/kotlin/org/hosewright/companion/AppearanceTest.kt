package org.hosewright.companion

import java.nio.file.Files
import java.nio.file.Path
import java.nio.file.Paths
import javax.xml.parsers.DocumentBuilderFactory
import kotlin.math.pow
import org.hosewright.core.Shape
import org.hosewright.core.verdictSigns
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.w3c.dom.Element

/** What the app's resources promise: contrast, sizes, and no sentence about a hose. */
class AppearanceTest {
    private val app: Path = Paths.get("../app/src/main")

    private fun values(folder: String, file: String, kind: String): Map<String, String> {
        val document = DocumentBuilderFactory.newInstance().newDocumentBuilder()
            .parse(app.resolve("res/$folder/$file.xml").toFile())
        val found = document.getElementsByTagName(kind)
        return (0 until found.length).map { found.item(it) as Element }
            .associate { it.getAttribute("name") to it.textContent }
    }

    /** Relative luminance and contrast ratio as WCAG 2.2 defines them (W3C, 2023). */
    private fun luminance(rgb: Int): Double {
        fun channel(shift: Int): Double {
            val part = (rgb shr shift and 255) / 255.0
            return if (part <= 0.04045) part / 12.92 else ((part + 0.055) / 1.055).pow(2.4)
        }
        return 0.2126 * channel(16) + 0.7152 * channel(8) + 0.0722 * channel(0)
    }

    private fun contrast(one: Int, other: Int): Double {
        val (dark, light) = listOf(luminance(one), luminance(other)).sorted()
        return (light + 0.05) / (dark + 0.05)
    }

    @Test
    fun `the formula gives the ratios that the standard names`() {
        // WCAG 2.2 names 21 : 1 for black on white; #767676 on white is the well-known 4.54 : 1.
        assertEquals(21.0, contrast(0x000000, 0xFFFFFF), 1e-9)
        assertEquals(4.54, contrast(0x767676, 0xFFFFFF), 0.01)
    }

    @Test
    fun `text stands out at seven to one, by day and by night`() {
        for (folder in listOf("values", "values-night")) {
            val colours = values(folder, "colors", "color").mapValues { it.value.removePrefix("#").toInt(16) }
            val grounds = listOf("ground", "card", "ready", "watch", "hold", "retire")
            val pairs = grounds.map { "text" to it } +
                listOf("quiet" to "ground", "quiet" to "card", "on_action" to "action", "on_band" to "band")
            for ((text, ground) in pairs) {
                val ratio = contrast(colours.getValue(text), colours.getValue(ground))
                assertTrue(ratio >= 7.0, "$folder: $text on $ground is $ratio : 1")
            }
            // What frames a button is not text: 3 : 1 (WCAG 2.2, 1.4.11).
            for (ground in listOf("ground", "card")) {
                assertTrue(contrast(colours.getValue("line"), colours.getValue(ground)) >= 3.0)
            }
        }
    }

    @Test
    fun `what is read and what is touched is large`() {
        val sizes = values("values", "dimens", "dimen")
        assertTrue(sizes.keys.count { it.startsWith("text_") } == 4)
        for ((name, size) in sizes.filterKeys { it.startsWith("text_") }) {
            assertTrue(size.endsWith("sp") && size.removeSuffix("sp").toInt() >= 18, "$name is $size")
        }
        assertTrue(sizes.getValue("touch").removeSuffix("dp").toInt() >= 48)
        val sources = sources(app.resolve("kotlin"))
        val small = sources.flatMap { (file, text) -> Regex("textSize = (\\d+)f").findAll(text).map { file to it.groupValues[1].toInt() } }
        assertTrue(small.all { it.second >= 18 }, "$small")
    }

    @Test
    fun `every sign has the shape and colour of its kind in the standard`() {
        // ISO 3864-1: safe condition, warning, mandatory action, prohibition.
        assertEquals(
            listOf(Shape.SQUARE, Shape.TRIANGLE, Shape.DISC, Shape.RING_WITH_BAR),
            verdictSigns().map { it.shape },
        )
        assertEquals(4, verdictSigns().map { it.colour }.toSet().size)
    }

    @Test
    fun `the system shows what the core says`() {
        val strings = values("values", "strings", "string")
        assertEquals(mapOf("app_name" to "Hosewright", "share_and_receive" to say.shareAndReceive), strings)
    }

    private fun sources(folder: Path): List<Pair<String, String>> {
        val files = Files.walk(folder).use { all -> all.filter { it.toString().endsWith(".kt") }.toArray() }
        assertTrue(files.size > 8)
        return files.map { it.toString() to String(Files.readAllBytes(it as Path)) }
    }
}
