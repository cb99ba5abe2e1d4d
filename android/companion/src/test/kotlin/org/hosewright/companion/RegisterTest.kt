package org.hosewright.companion

import org.hosewright.core.Follows
import org.hosewright.core.FormOf
import org.hosewright.core.PageOf
import org.hosewright.core.Touch
import org.hosewright.core.Verdict
import org.hosewright.core.Wanted
import org.hosewright.core.WayIn
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class RegisterTest {
    private fun Form.choose(name: String, words: String) =
        tap(name, field(name).choices.first { it.label.startsWith(words) }.value)

    @Test
    fun `an empty phone greets with its ways in, and registers its first hose`(): Unit = Shop().use { shop ->
        var code = ""
        shop.phone().use { phone ->
            val welcome = phone.page(PageOf.Scan(Wanted.ANSWER)).shown.welcome!!
            assertTrue(welcome.words.contains("No hoses yet"))
            assertEquals(listOf(WayIn.REGISTER, WayIn.BRING_IN), welcome.ways.map { it.way })

            val screen = Form(phone, FormOf.Register(null))
            assertNull(screen.fields().find { it.name == "end_a" }, "ends wait for the service")
            screen.choose("service", "Breathing")
            assertEquals("3/8-24 (the usual one)", screen.field("end_a").choices.single { it.chosen }.label)
            // Too early: the field that is missing is named, and nothing is lost.
            screen.submit()
            assertEquals("construction", screen.refused)
            screen.choose("construction", "Braided")
            screen.tap("length", "22")
            assertTrue(screen.field("length").wrong!!.contains("no unit"), screen.field("length").wrong)
            screen.submit()
            assertEquals("length", screen.refused)
            assertEquals("22", screen.field("length").value)
            screen.tap("length", "22 in")
            screen.tap("made", "2024-03")
            screen.tap("maker", "Kelpline")
            screen.tap("protector")
            assertNull(screen.shown.problem)
        }
        // The phone was killed: another process sees what this other desk does.
        shop.phone().use { phone ->
            val screen = Form(phone, FormOf.Register(null))
            assertEquals("Kelpline", screen.field("maker").value)
            assertEquals("yes", screen.field("protector").value)
            screen.submit()
            val done = screen.done!!
            code = done.answer!!.code
            assertTrue(done.words.contains("print its tag"), done.words)
            assertEquals(Verdict.HOLD, done.answer!!.verdict, "it was never looked over")
            // The next form is empty, and the greeting is gone.
            assertEquals("", Form(phone, FormOf.Register(null)).field("length").value)
            assertNull(phone.page(PageOf.Scan(Wanted.ANSWER)).shown.welcome)
        }
        // As the command line has it.
        val said = shop.run("answer", code).out
        assertTrue(said.contains("Kelpline") && said.contains("22 in"), said)
    }

    @Test
    fun `a tag that was printed blank is registered from its scan`(): Unit = Shop().use { shop ->
        val blank = shop.run("tags", "--blank", "1", "--out", "blank.pdf", "--json").out
        val code = Regex("[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]").find(blank)!!.value
        shop.phone().use { phone ->
            // Typed: the refusal names the tag to register with.
            val scan = Scan(phone)
            scan.typed(code)
            assertEquals(code, scan.trouble!!.unused)
            // Scanned: what a blank tag says.
            val text = "HW1:${code.replace("-", "")}."
            scan.seen(text)
            assertFalse(scan.answer().onRecord)
            val screen = Form(phone, FormOf.Register(text))
            assertEquals(code, screen.shown.code)
            assertTrue(screen.shown.lead.first().contains("tag is blank"))
            assertTrue(screen.fields().none { it.name == "tag" })
            screen.tap("service", "gauge")
            screen.tap("construction", "rubber")
            screen.tap("length", "80 cm")
            screen.tap("barcode", "4006381333931")
            screen.submit()
            assertNull(screen.trouble)
            assertEquals(code, screen.done!!.answer!!.code)
            assertTrue(screen.done!!.words.contains("the tag on it"))
            // The maker's barcode leads to it, before a camera too.
            scan.go(Touch.Look)
            scan.seen("4006381333931")
            assertEquals(code, scan.answer().code)
            // The tag is in use now: a form for another hose is refused, by its field.
            val again = Form(phone, FormOf.Register(text))
            assertEquals("tag", again.refused)
        }
        assertEquals(1, shop.run("export").out.lines().count { it.contains("\"registered\"") })
    }

    @Test
    fun `a tag of another record fills in what it says`(): Unit = Shop().use { other ->
        val code = other.hose()
        other.done("tag $code --out tag.png")
        val text = frameOf(other.path("tag.png")).read().single()
        Shop().use { shop ->
            shop.phone().use { phone ->
                val screen = Form(phone, FormOf.Register(text))
                assertTrue(screen.shown.lead.first().contains("import that device's record"))
                assertEquals("22 in", screen.field("length").value)
                assertEquals("2024-03", screen.field("made").value)
                assertNull(screen.shown.problem)
                screen.tap("length", "56 cm")
                screen.drop()
                assertEquals("22 in", screen.field("length").value)
            }
        }
    }

    @Test
    fun `a barcode that leads elsewhere, or is a tag, is refused at its field and registers nothing`(): Unit = Shop().use { shop ->
        val known = shop.hose()
        shop.phone().use { phone ->
            phone.submit(FormOf.Hose(known, "barcode"), "barcode" to "4006381333931")
        }
        val before = shop.run("export").out
        shop.phone().use { phone ->
            val screen = Form(phone, FormOf.Register(null))
            screen.tap("service", "gauge")
            screen.tap("construction", "rubber")
            screen.tap("length", "80 cm")
            for ((barcode, word) in listOf("4006381333931" to known, "HW1:${known.replace("-", "")}." to "Hosewright tag")) {
                screen.tap("barcode", barcode)
                screen.submit()
                assertEquals("barcode", screen.refused)
                assertTrue(screen.trouble!!.words.contains(word), screen.trouble!!.words)
            }
            screen.tap("barcode", "")
            screen.tap("tag", known)
            screen.submit()
            assertEquals("tag", screen.refused)
            assertEquals(before, shop.run("export").out)
            // Put right, it is registered once.
            screen.tap("tag", "")
            screen.submit()
            assertNull(screen.trouble)
        }
        assertEquals(2, shop.run("export").out.lines().count { it.contains("\"registered\"") })
    }

    @Test
    fun `a description is put right, and a barcode bound`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            val screen = Form(phone, FormOf.Hose(code, "details"))
            assertEquals(code, screen.shown.code)
            assertEquals("Kelpline", screen.field("maker").value)
            assertEquals("B17", screen.field("lot").value)
            screen.tap("lot", "B18")
            screen.submit()
            assertTrue(screen.done!!.answer!!.hose.contains("B18"))
            val barcode = FormOf.Hose(code, "barcode")
            assertNull(phone.submit(barcode, "barcode" to "4006381333931").trouble)
            assertEquals(code, phone.scan("4006381333931").code)
            assertEquals("barcode", phone.submit(barcode, "barcode" to "HW1:${code.replace("-", "")}.").refused)
        }
        assertTrue(shop.run("answer", code).out.contains("B18"))
    }

    @Test
    fun `what was not known is filled in with a reason, and only then`(): Unit = Shop().use { shop ->
        val code = shop.done("register --service second-stage --construction braided --length 22in " +
            "--end-a 3/8-24 --end-b 9/16-18")
        val before = shop.run("export").out
        shop.phone().use { phone ->
            val new = Form(phone, FormOf.Register(null))
            assertTrue(new.fields().none { it.name == "why" }, "a new hose needs no reason")
            val screen = Form(phone, FormOf.Hose(code, "details"))
            screen.tap("made", "2024-03")
            screen.tap("lot", "B17")
            screen.submit()
            assertEquals("why", screen.refused)
            assertTrue(screen.trouble!!.words.contains("what was not known"), screen.trouble!!.words)
            assertEquals(before, shop.run("export").out)
            screen.tap("why", "read off the hose")
            screen.submit()
            assertNull(screen.trouble)
            assertTrue(screen.done!!.answer!!.hose.contains("B17"))
            assertTrue(screen.done!!.answer!!.age.contains("2024-03"))
            assertTrue(phone.hose(code).history.any { it.words.contains("read off the hose") })
        }
    }

    @Test
    fun `a page that asked for a text gets it, whatever it is`(): Unit = Shop().use { shop ->
        shop.phone().use { phone ->
            val scan = Scan(phone, Wanted.TEXT)
            scan.seen("one", "another")
            assertTrue(scan.trouble!!.words.contains("Several codes"), scan.trouble!!.words)
            scan.seen("4006381333931")
            // Until the page is gone, it has what it was opened for.
            scan.seen("something else")
            assertEquals(listOf<Follows>(Follows.Found("4006381333931")), scan.followed)
            val typed = Scan(phone, Wanted.TEXT)
            typed.typed("B17-4")
            assertEquals(listOf<Follows>(Follows.Found("B17-4")), typed.followed)
        }
    }
}
