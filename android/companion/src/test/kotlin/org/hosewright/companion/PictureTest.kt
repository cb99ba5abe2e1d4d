package org.hosewright.companion

import org.hosewright.core.PageOf
import org.hosewright.core.Mark
import org.hosewright.core.Step
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class PictureTest {
    @Test
    fun `a set is drawn as the command line draws it, shape by shape`(): Unit = Shop().use { shop ->
        shop.done("set new Heron --use rental --ports HP:7/16-20=1,LP:3/8-24=4")
        val code = shop.fitted("Heron", "LP1")
        shop.done("inspect $code --kind quick --finding run:cut:cover")
        shop.done("set show Heron --svg heron.svg --narrow")
        val svg = shop.path("heron.svg").toFile().readText()
        shop.phone().use { phone ->
            val screen = phone.page(PageOf.Set("Heron"))
            val picture = screen.shown.picture!!
            for (words in listOf("Set Heron, rental use", "LP1: braided second-stage hose", "HP1: plug.")) {
                assertTrue(picture.words.contains(words), picture.words)
            }
            assertTrue(svg.contains("viewBox=\"0 0 ${picture.width} ${picture.height}\""))
            // Every shape of the one is in the other, in its order.
            val drawn = svg.lines().filter { it.startsWith("<rect") || it.startsWith("<circle") || it.startsWith("<path") || it.startsWith("<text") }
            assertEquals(drawn.map(::shape), picture.marks.map(::shape))
        }
    }

    private fun colour(colour: UInt?) = colour?.let { "#%06X".format(it.toInt()) } ?: "none"

    private fun shape(mark: Mark): List<String> =
        when (mark) {
            is Mark.Rect -> listOf("${mark.at.x}", "${mark.at.y}", "${mark.width}", "${mark.height}", colour(mark.fill))
            is Mark.Circle -> listOf("${mark.at.x}", "${mark.at.y}", "${mark.radius}", colour(mark.fill))
            is Mark.Path -> listOf(mark.steps.joinToString("", transform = ::step), colour(mark.fill), colour(mark.stroke?.colour))
            is Mark.Text -> listOf("${mark.at.x}", "${mark.at.y}", "${mark.size}", colour(mark.fill), mark.words)
        }

    private fun step(step: Step): String =
        when (step) {
            is Step.From -> "M${step.at.x} ${step.at.y}"
            is Step.To -> "L${step.at.x} ${step.at.y}"
            is Step.Curve -> "C${step.first.x} ${step.first.y} ${step.second.x} ${step.second.y} ${step.to.x} ${step.to.y}"
            is Step.Close -> "Z"
        }

    /** The same of a line of SVG. */
    private fun shape(line: String): List<String> {
        fun of(name: String) = Regex(" $name=\"([^\"]*)\"").find(line)?.groupValues?.get(1) ?: "none"
        return when {
            line.startsWith("<rect") -> listOf("x", "y", "width", "height", "fill").map(::of)
            line.startsWith("<circle") -> listOf("cx", "cy", "r", "fill").map(::of)
            line.startsWith("<path") -> listOf("d", "fill", "stroke").map(::of)
            else -> listOf("x", "y", "font-size", "fill").map(::of) + line.substringAfter(">").substringBeforeLast("</text>")
        }
    }
}
