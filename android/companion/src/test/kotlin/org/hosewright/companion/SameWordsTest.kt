package org.hosewright.companion

import java.nio.file.Files
import org.hosewright.core.Answer
import org.hosewright.core.Logbook
import org.hosewright.core.Moment
import org.hosewright.core.PictureFormat
import org.hosewright.core.Verdict
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

/** The phone and the command line say the same of the same tag, word for word. */
class SameWordsTest {
    @Test
    fun `two hundred scanned answers are the same on the phone and in the terminal`(): Unit = Demo.shop().use { shop ->
        val hoses = Regex("\"hose\":\"([0-9A-Z-]+)\"")
            .findAll(shop.run("export").out.lines().filter { it.contains("\"kind\":\"registered\"") }.joinToString("\n"))
            .map { it.groupValues[1] }
            .toList()
        assertTrue(hoses.size > 40, "${hoses.size}")
        val days = listOf(TODAY, "2027-01-10", "2028-07-01", "2031-03-05", "2026-06-16")
        val asked = days.flatMap { day -> hoses.map { it to day } }.take(200)
        assertEquals(200, asked.size)
        val verdicts = mutableMapOf<Verdict, Int>()
        Logbook.open(shop.place()).use { logbook ->
            val pictures = hoses.associateWith { hose ->
                val file = shop.path("$hose.png")
                Files.write(file, logbook.tagPicture(hose, PictureFormat.PNG, "20mm", 300u).bytes)
                file to frameOf(file).read()
            }
            for ((hose, day) in asked) {
                val (file, texts) = pictures.getValue(hose)
                val answer = logbook.answerSeen(texts, Moment(day, "phone"))
                val said = shop.run("scan", file.toString(), today = day)
                // The terminal names the next command too, which a phone has none of.
                val terminal = said.out.replace(NEXT, "$1")
                assertEquals(terminal.squeezed(), page(answer).squeezed(), "$hose on $day")
                assertEquals(if (answer.verdict >= Verdict.HOLD) 1 else 0, said.code)
                verdicts.merge(answer.verdict, 1, Int::plus)
            }
        }
        assertEquals(Verdict.entries.toSet(), verdicts.keys, "$verdicts")
    }

    /** Lines break elsewhere in a terminal, and rules are as wide as it is. */
    private fun String.squeezed() = filterNot { it.isWhitespace() || it == '=' }

    private fun page(answer: Answer) = buildString {
        append(shape(answer.verdict)).append(answer.word.uppercase()).append(answer.meaning)
        append(answer.named).append(answer.hose).append(answer.setLine.orEmpty())
        for (reason in answer.reasons) {
            append(shape(reason.verdict)).append(reason.words).append("->").append(reason.todo)
        }
        append("Age").append(answer.age)
        append("Looked over").append(answer.inspections.joinToString(""))
        append("Dives").append(answer.dives)
        if (answer.due.isNotEmpty()) append("Due").append(answer.due.joinToString(""))
        append("Where").append(answer.place)
        append("Record").append(answer.record)
        append("Next").append(answer.next.words.removePrefix("At the counter: "))
        append(answer.caution)
    }

    private fun shape(verdict: Verdict) =
        when (verdict) {
            Verdict.READY -> "[#]"
            Verdict.WATCH -> "/!\\"
            Verdict.HOLD -> "(!)"
            Verdict.RETIRE -> "(/)"
        }

    private companion object {
        val NEXT = Regex("(\\nNext {2,}[^\\n]*)\\n {2,}hosewright [^\\n]*(\\n {2,}[^\\n]*)?")
    }
}
