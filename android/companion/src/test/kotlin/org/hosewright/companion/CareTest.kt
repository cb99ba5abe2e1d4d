package org.hosewright.companion

import java.awt.image.BufferedImage
import javax.imageio.ImageIO
import org.hosewright.core.FormOf
import org.hosewright.core.Goes
import org.hosewright.core.Photograph
import org.hosewright.core.PageOf
import org.hosewright.core.PictureFormat
import org.hosewright.core.Touch
import org.hosewright.core.Verdict
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class CareTest {
    @Test
    fun `photos of what was found come with the answer`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        // Two colours, side by side, which a JPEG keeps.
        val drawn = BufferedImage(640, 480, BufferedImage.TYPE_INT_RGB)
        for (y in 0 until 480) for (x in 0 until 640) drawn.setRGB(x, y, if (x < 320) 0xC02020 else 0x2020C0)
        ImageIO.write(drawn, "png", shop.path("cut.png").toFile())
        shop.phone().use { phone ->
            assertEquals(emptyList<Photograph>(), phone.hose(code).photographs)
            shop.done("inspect $code --kind quick --finding run:cut:cover --photo run=cut.png")
            val photograph = phone.hose(code).photographs.single()
            assertEquals(TODAY to "bench", photograph.on to photograph.by)
            assertTrue(phone.hose(code).history.any { it.words == photograph.words }, photograph.words)
            // Peer: the JDK's own reader of JPEG.
            val seen = ImageIO.read(photograph.jpeg.inputStream())
            assertEquals(640 to 480, seen.width to seen.height)
            assertTrue(seen.getRGB(100, 240) shr 16 and 255 > 150 && seen.getRGB(540, 240) and 255 > 150)
            // It stays while the hose is cared for.
            phone.submit(FormOf.Hose(code, "clean"))
            assertEquals(1, phone.hose(code).photographs.size)
        }
    }

    @Test
    fun `a full inspection is filled in touch by touch and outlives the phone`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.done("inspect $code --kind quick --finding run:strands:1")
        val of = FormOf.Hose(code, "full-inspection")
        shop.phone().use { phone ->
            val screen = Form(phone, of)
            val run = screen.shown.groups.first { group -> group.fields.any { it.name == "clear-run" } }
            assertTrue(run.notes.any { it.contains("broken strands in the braid (1)") }, run.notes.toString())
            assertNotNull(screen.shown.place)
            screen.tap("count:run:strands", "2")
            screen.tap("open:run:strands", "otherwise")
            screen.tap("finding", "run:scuff")
            screen.tap("clear-end-a")
            assertEquals("2", screen.field("count:run:strands").value)
            assertTrue(run.fields.first { it.name == "finding" }.choices.any { it.value == "run:scuff" })
        }
        // The phone was killed: another process would see the same as this other desk.
        shop.phone().use { phone ->
            val screen = Form(phone, of)
            assertEquals(listOf("clear-end-a"), screen.fields().filter { it.name.startsWith("clear-") && it.value.isNotEmpty() }.map { it.name })
            assertTrue(screen.field("finding").choices.first { it.value == "run:scuff" }.chosen)
            assertTrue(screen.shown.place!!.groups.first().title.contains("the far end"), "it goes on where it was")
            // Too early: nothing is written, nothing is lost.
            screen.submit()
            assertTrue(screen.trouble!!.words.contains("the far end"))
            assertEquals("clear-end-b", screen.refused)
            for (checkpoint in listOf("end-b", "seal-a", "seal-b")) {
                screen.tap("clear-$checkpoint")
            }
            assertNull(screen.shown.problem)
            screen.submit()
            val after = screen.done!!.answer!!
            assertEquals(Verdict.WATCH, after.verdict)
            assertTrue(after.inspections.any { it.startsWith("full on $TODAY by phone: ") }, after.inspections.toString())
            // A new form is empty again.
            assertTrue(Form(phone, of).fields().none { it.value.isNotEmpty() })
        }
        val said = shop.run("answer", code).out
        assertTrue(said.contains("up from 1"), said)
    }

    @Test
    fun `what a hose cannot have is refused and not filled in`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            val screen = Form(phone, FormOf.Hose(code, "full-inspection"))
            screen.tap("finding", "run:weep")
            assertEquals("finding", screen.refused)
            screen.tap("clear-run")
            assertNull(screen.trouble)
            assertTrue(screen.fields().filter { it.name == "finding" }.none { field -> field.choices.any { it.chosen } })
        }
    }

    @Test
    fun `a leak test needs its result, and is dropped where one likes`(): Unit = Shop().use { shop ->
        shop.done("set new Heron --use personal --ports LP:3/8-24=4")
        val code = shop.hose()
        shop.done("inspect $code --kind full")
        shop.done("fit $code --set Heron --port LP1")
        shop.phone().use { phone ->
            val screen = Form(phone, FormOf.Hose(code, "leak-test"))
            screen.submit()
            assertEquals("result", screen.refused)
            assertTrue(screen.trouble!!.words.contains("passed or failed"))
            screen.tap("result", "failed")
            screen.drop()
            assertEquals("", screen.field("result").value)
            screen.tap("result", "passed")
            screen.tap("pressure", "fast")
            assertTrue(screen.field("pressure").wrong!!.contains("fast"), screen.field("pressure").wrong)
            screen.tap("pressure", "200 bar")
            screen.tap("note", "in the pool")
            screen.submit()
            assertNull(screen.trouble)
            val after = screen.done!!.answer!!
            assertEquals(Verdict.READY, after.verdict)
            assertTrue(after.inspections.any { it.contains("passed at 200 bar") && it.contains("in the pool") })
        }
    }

    @Test
    fun `a hose is resealed, cleaned and retired, as its answer proposes`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.done("inspect $code --kind full --finding seal-b:seal-missing --finding end-a:salt")
        shop.phone().use { phone ->
            val next = phone.scan(code).next.goes as Goes.Form
            // The answer knows at which end.
            assertTrue(phone.submit(next.of).done!!.answer!!.reasons.any { it.words.contains("salt") })
            val clean = phone.scan(code).actions.first { it.words == "Clean" }.goes as Goes.Form
            assertFalse(phone.submit(clean.of).done!!.answer!!.reasons.any { it.words.contains("salt") })
            assertEquals("soaked, cleaned and dried", phone.hose(code).history.first().words)
            val retire = phone.scan(code).actions.first { it.words == "Retire" }.goes as Goes.Form
            assertEquals("why", phone.submit(retire.of).refused)
            // For good: it is named once more before it is done.
            val asked = phone.submit(retire.of, "why" to "cut in half")
            assertTrue(asked.done == null && asked.screen.shown.question!!.words.last().contains(code))
            asked.yes()
            val retired = asked.done!!.answer!!
            assertEquals(Verdict.RETIRE, retired.verdict)
            assertEquals(Goes.Scan, retired.next.goes)
            assertTrue(phone.submit(retire.of, "why" to "again").apply { yes() }.trouble!!.words.contains("was retired"))
        }
    }

    @Test
    fun `every action of an answer leads to a page that opens`(): Unit = Demo.shop().use { shop ->
        shop.phone().use { phone ->
            val codes = Regex("[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]").findAll(shop.run("list").out).map { it.value }.distinct().take(40)
            val seen = mutableSetOf<String>()
            for (code in codes) {
                for (action in phone.scan(code).actions.filter { seen.add(it.words) }) {
                    val goes = action.goes as? Goes.Form ?: continue
                    val form = Form(phone, goes.of)
                    assertNull(form.trouble, "${action.words}: ${form.trouble?.words}")
                    assertTrue(form.shown.title.isNotEmpty())
                }
            }
            assertTrue(seen.size > 12, "$seen")
        }
    }

    @Test
    fun `a tag is drawn that reads back`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            fun drawn(format: PictureFormat, size: String = "20mm") =
                phone.page(PageOf.Hose(code), Touch.DrawTag(format, size, 300.toUShort())).shown
            val picture = drawn(PictureFormat.PNG).tag!!
            val file = shop.path("drawn.png")
            java.nio.file.Files.write(file, picture.bytes)
            assertTrue(frameOf(file).read().single().contains(code.replace("-", "")))
            assertTrue(picture.words.contains("mm wide"))
            assertTrue(String(drawn(PictureFormat.SVG).tag!!.bytes).startsWith("<svg"), "SVG")
            assertNotNull(drawn(PictureFormat.PNG, "3mm").trouble)
        }
    }

    /** One touch a place, and the saving; a phone that stops goes on at the next place. */
    @Test
    fun `a full inspection asks for one place after another`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        val of = FormOf.Hose(code, "full-inspection")
        var touches = 0
        while (true) {
            val open = shop.phone().use { phone ->
                val form = Form(phone, of)
                val place = form.shown.place
                if (place != null) {
                    assertEquals(listOf("Nothing found", "Something…"), place.buttons.take(2).map { it.words })
                    form.screen.touch(Touch.Place(place.place, place.buttons.first().answer))
                    phone.settle(form.screen)
                } else {
                    assertTrue(form.shown.named!!.contains(code))
                    form.submit()
                    assertTrue(form.done!!.answer!!.inspections.any { it.contains("nothing found") })
                }
                touches += 1
                place != null
            }
            if (!open) break
        }
        assertTrue(touches <= 6, "$touches")
    }
}
