package org.hosewright.companion

import java.awt.image.BufferedImage
import java.nio.file.Files
import java.nio.file.Path
import javax.imageio.ImageIO
import org.hosewright.core.Follows
import org.hosewright.core.FormOf
import org.hosewright.core.Goes
import org.hosewright.core.Obstacle
import org.hosewright.core.PageOf
import org.hosewright.core.Touch
import org.hosewright.core.Wanted
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotEquals
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

/** Photos of what was found, what nobody else has yet, what is due, and tags to print. */
class KeptTest {
    private fun picture(shop: Shop, name: String): Path {
        val drawn = BufferedImage(2000, 1500, BufferedImage.TYPE_INT_RGB)
        for (y in 0 until 1500) for (x in 0 until 2000) drawn.setRGB(x, y, if (x < 1000) 0xC02020 else 0x2020C0)
        return shop.path(name).also { ImageIO.write(drawn, "png", it.toFile()) }
    }

    @Test
    fun `a photo that was taken goes into the record with what was found`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        val taken = picture(shop, "taken.png")
        val of = FormOf.Hose(code, "quick-look")
        shop.phone().use { phone ->
            val form = Form(phone, of)
            form.tap("finding", "run:cut:cover")
            form.tap("photo-run", taken.toString())
            assertNull(form.trouble, form.trouble?.words)
            assertTrue(Files.exists(Path.of(form.field("photo-run").value)) && !Files.exists(taken))
        }
        // The phone was killed.
        shop.phone().use { phone ->
            val form = Form(phone, of)
            assertTrue(form.field("photo-run").value.isNotEmpty())
            form.submit()
            assertNotNull(form.done)
            val photograph = phone.hose(code).photographs.single()
            // Peer: the JDK's own reader of JPEG.
            val seen = ImageIO.read(photograph.jpeg.inputStream())
            assertEquals(1280 to 960, seen.width to seen.height)
            assertTrue(seen.getRGB(100, 480) shr 16 and 255 > 150 && seen.getRGB(1180, 480) and 255 > 150)
        }
        assertTrue(shop.run("history", code).out.contains("photo"), shop.run("history", code).out)
    }

    @Test
    fun `a photo is left out again, and what is none is said at its field`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            val form = Form(phone, FormOf.Hose(code, "quick-look"))
            form.tap("finding", "run:scuff")
            form.tap("photo-run", picture(shop, "taken.png").toString())
            form.tap("photo-run")
            assertEquals("", form.field("photo-run").value)
            form.tap("photo-run", shop.path("note.txt").also { Files.writeString(it, "no picture") }.toString())
            assertEquals("photo-run", form.refused)
            form.submit()
            assertTrue(phone.hose(code).photographs.isEmpty())
        }
    }

    @Test
    fun `what nobody else has yet is said on the first page and where records meet`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            fun first() = phone.page(PageOf.Scan(Wanted.ANSWER)).shown.sharing
            assertNull(first(), "the phone wrote nothing yet")
            phone.submit(FormOf.Hose(code, "clean"))
            val closing = first()!!
            assertEquals(1uL to false, closing.alone to closing.warn)
            assertTrue(closing.words.first().startsWith("1 entry is on this device alone"), "${closing.words}")
            val meeting = phone.page(PageOf.Meeting).shown.sharing!!
            assertTrue(meeting.others.size == 1 && meeting.words == closing.words, "$meeting")
        }
    }

    @Test
    fun `reminders are off until they are switched on`(): Unit = Shop().use { shop ->
        shop.done("set new Heron --use personal --ports LP:3/8-24=4")
        shop.fitted("Heron", "LP1")
        shop.phone().use { phone ->
            fun next() = phone.page(PageOf.Scan(Wanted.ANSWER)).shown.reminding!!.next
            assertNull(next())
            val form = Form(phone, FormOf.Settings)
            val followed = mutableListOf<Follows>()
            form.screen.onFollows = { followed.add(it) }
            form.tap("reminds")
            assertEquals(listOf<Follows>(Follows.AskToRemind), followed)
            form.screen.hindered(Obstacle.REMINDERS_REFUSED)
            phone.settle(form.screen)
            assertEquals("", form.field("reminds").value)
            form.tap("reminds")
            form.submit()
            assertNotNull(form.done)
            val reminder = next()!!
            assertTrue(reminder.on > TODAY && reminder.words.isNotEmpty() && reminder.title.isNotEmpty(), "$reminder")
        }
    }

    @Test
    fun `tags are made to print, and a set gets a new one`(): Unit = Shop().use { shop ->
        shop.done("set new Heron --use personal --ports LP:3/8-24=4")
        shop.fitted("Heron", "LP1")
        shop.phone().use { phone ->
            fun set() = phone.page(PageOf.Set("Heron")).shown.set!!
            val ways = set().actions.mapNotNull { (it.goes as? Goes.Form)?.of }
            val made = phone.submit(ways.filterIsInstance<FormOf.Tags>().single()).done!!
            assertTrue(String(made.made!!.bytes, Charsets.ISO_8859_1).startsWith("%PDF-"))
            assertTrue(made.words.startsWith("2 tags, 1 page"), made.words)
            val refused = Form(phone, FormOf.Tags(null)).apply {
                tap("size", "1 mm")
                submit()
            }
            assertEquals("size", refused.refused)
            val before = set().answer.code
            val form = phone.submit(FormOf.Set("Heron", "new-tag"))
            assertNotNull(form.screen.shown.question)
            form.yes()
            assertTrue(form.done!!.words.contains(set().answer.code), form.done!!.words)
            assertNotEquals(before, set().answer.code)
        }
    }

    @Test
    fun `a swap asks one step at a time`(): Unit = Shop().use { shop ->
        shop.done("set new Heron --use personal --ports LP:3/8-24=4")
        val old = shop.fitted("Heron", "LP1")
        val new = shop.hose()
        shop.done("inspect $new --kind full")
        shop.phone().use { phone ->
            val form = Form(phone, FormOf.Swap(old, new))
            assertTrue(form.shown.lines.isEmpty() && form.shown.lead.first().startsWith("Step 1 of "))
            assertFalse(form.shown.lead.any { it.contains("done") }, "${form.shown.lead}")
            form.submit(form.shown.answers.first().value)
            assertTrue(form.shown.lines.isEmpty() && form.shown.lead[1].startsWith("1 step is done."), "${form.shown.lead}")
        }
    }
}
