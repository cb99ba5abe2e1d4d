package org.hosewright.companion

import java.nio.ByteBuffer
import java.util.concurrent.LinkedBlockingQueue
import java.util.concurrent.TimeUnit
import org.hosewright.core.Follows
import org.hosewright.core.FormOf
import org.hosewright.core.Goes
import org.hosewright.core.PageOf
import org.hosewright.core.Touch
import org.hosewright.core.Verdict
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

/** Hoses found and placed, entries withdrawn, and what is set on the phone. */
class HosesTest {
    @Test
    fun `hoses are found by what is known of them, and listed by verdict`(): Unit = Demo.shop().use { shop ->
        shop.phone().use { phone ->
            val page = phone.page(PageOf.Hoses)
            fun shown(touch: Touch) = page.also { it.touch(touch) }.let { phone.settle(it).shown.hoses!! }
            val first = shown(Touch.Look)
            assertEquals(listOf(null) + Verdict.entries, first.verdicts.map { it.verdict })
            assertTrue(first.more && first.hoses.size == 30, first.words)
            val all = shown(Touch.More(30uL))
            assertTrue(!all.more && all.hoses.size > 30, all.words)
            assertEquals("all ${all.hoses.size}", all.verdicts.first().words)
            val held = shown(Touch.OfVerdict(Verdict.HOLD))
            assertTrue(held.hoses.isNotEmpty() && held.hoses.all { it.verdict == Verdict.HOLD })
            // As many as the command line counts, and each opens.
            val counted = Regex("[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]").findAll(shop.run("list", "--verdict", "hold").out)
            assertEquals("hold ${counted.map { it.value }.distinct().count()}", held.verdicts.single { it.chosen }.words)
            val one = held.hoses.first()
            assertEquals(Verdict.HOLD, phone.hose(one.code).answer.verdict)
            val found = shown(Touch.Find(one.code.lowercase()))
            assertEquals(one.code, found.hoses.first().code)
            assertTrue(found.verdicts.none { it.chosen })
            assertTrue(shown(Touch.Find("there is no such hose")).hoses.isEmpty())
        }
    }

    @Test
    fun `a hose is fitted in a port, held, released and removed to stock`(): Unit = Shop().use { shop ->
        shop.done("set new Heron --use personal --ports LP:3/8-24=4")
        val code = shop.hose()
        shop.phone().use { phone ->
            val place = phone.scan(code).actions.first { it.words == "Fit or move" }.goes as Goes.Form
            val form = Form(phone, place.of)
            form.tap("set", form.field("set").choices.single { it.label == "Heron" }.value)
            form.tap("port", "LP2")
            form.submit(form.shown.answers.first().value)
            assertTrue(form.done!!.answer!!.place.contains("LP2"), form.done!!.answer!!.place)
            assertEquals("why", phone.submit(FormOf.Hose(code, "hold")).refused)
            phone.submit(FormOf.Hose(code, "hold"), "why" to "a loose nut")
            assertTrue(phone.hose(code).history.first().words.contains("a loose nut"))
            phone.submit(FormOf.Hose(code, "release"), "why" to "tightened")
            phone.submit(FormOf.Hose(code, "dives"), "dives" to "3")
            assertTrue(phone.scan(code).dives.contains("3"), phone.scan(code).dives)
            val back = Form(phone, place.of)
            back.submit(back.shown.answers.last().value)
            assertEquals("in stock", back.done!!.answer!!.place)
        }
    }

    @Test
    fun `an entry is withdrawn with a reason, and both stay`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            phone.submit(FormOf.Hose(code, "clean"))
            val line = phone.hose(code).history.first()
            val of = (line.withdraw!!.goes as Goes.Form).of
            val form = Form(phone, of)
            assertTrue(form.shown.lead.any { it.contains(line.words) }, form.shown.lead.toString())
            form.submit()
            assertEquals("why", form.refused)
            form.tap("why", "another hose")
            form.submit()
            assertNotNull(form.done)
            val after = phone.hose(code).history.first { it.words.contains(line.words) }
            assertTrue(after.withdraw == null && after.words.contains("another hose"), after.words)
        }
    }

    @Test
    fun `the name and the voice are set, and help needs no record`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone(nameless = true).use { phone ->
            assertTrue(phone.hose(code).aloud)
            val form = Form(phone, FormOf.Settings)
            form.tap("name", "Mo")
            form.tap("aloud")
            form.submit()
            assertNotNull(form.done)
            assertFalse(phone.hose(code).aloud)
            phone.submit(FormOf.Hose(code, "clean"))
            assertEquals("Mo", phone.hose(code).history.first().by)
            val help = Form(phone, FormOf.Help).shown
            assertTrue(help.groups.flatMap { it.notes }.size > 30)
            assertTrue(help.submit.isEmpty() && help.answers.isEmpty())
        }
    }

    @Test
    fun `a tag that shows itself says what to do`() {
        val seen = LinkedBlockingQueue<String>()
        val whole = frameOf(Demo.photo)
        fun told(frame: Frame): String = FrameReader({ it.run() }, { seen.add(it.hint ?: "") }, { throw AssertionError(it) }, ::TagEye).use { reader ->
            assertTrue(reader.offer(frame))
            seen.poll(NEVER, TimeUnit.SECONDS)!!
        }
        assertEquals("", told(whole))
        // The same tag without its right half: only a part of it is in the frame.
        val tag = Shop().use { shop ->
            val code = shop.hose()
            shop.done("tag $code --out tag.png --size 30mm")
            frameOf(shop.path("tag.png"), 0)
        }
        val half = (1..8).map { cut(tag, tag.width * (10 + it) / 24) }.map(::told)
        assertTrue("Show the whole tag." in half, half.toString())
    }

    @Test
    fun `a hint is shown until it is told that there is none`(): Unit = Shop().use { shop ->
        shop.phone().use { phone ->
            val scan = Scan(phone)
            var changes = 0
            scan.screen.onChange = { changes += 1 }
            repeat(3) { scan.screen.hinted("nearer") }
            assertEquals("nearer" to 1, scan.screen.hint to changes)
            scan.screen.hinted(null)
            assertNull(scan.screen.hint)
            scan.screen.hinted("nearer")
            scan.screen.away()
            scan.screen.hinted("darker")
            assertNull(scan.screen.hint)
        }
    }

    @Test
    fun `a set is made, held and found by its tag, and what is in stock fits it`(): Unit = Shop().use { shop ->
        shop.phone().use { phone ->
            val made = phone.submit(FormOf.NewSet, "name" to "Heron", "use" to "personal")
            assertNull(made.trouble, made.trouble?.words)
            phone.submit(FormOf.Set("Heron", "hold"), "why" to "free flow")
            val held = phone.page(PageOf.Set("Heron")).shown.set!!
            assertEquals(Verdict.HOLD, held.answer.verdict)
            assertTrue(held.actions.any { it.goes == Goes.Form(FormOf.Set(held.id(), "release")) }, "${held.actions}")
            val scan = Scan(phone)
            scan.typed(held.answer.code)
            assertEquals(held.title, phone.page(PageOf.Set((scan.followed.single() as Follows.Set).name)).shown.set!!.title)
            phone.submit(FormOf.Set("Heron", "release"), "why" to "serviced")
            val old = shop.fitted("Heron", "LP1")
            val spare = shop.hose()
            shop.done("inspect $spare --kind full")
            val stock = phone.page(PageOf.Stock(old)).shown.stock!!
            assertEquals(listOf(spare), stock.hoses.map { it.code })
        }
    }

    /** The set, as its forms name it. */
    private fun org.hosewright.core.SetShown.id() =
        actions.firstNotNullOf { ((it.goes as? Goes.Form)?.of as? FormOf.Set)?.set }
}

/** The left part of a picture, on a light ground. */
private fun cut(of: Frame, width: Int): Frame {
    val luma = ByteBuffer.allocateDirect(width * of.height)
    for (y in 0 until of.height) for (x in 0 until width) luma.put(y * width + x, of.luma[y * of.stride + x])
    return Frame(luma, width, of.height, width) {}
}
