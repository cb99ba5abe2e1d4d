package org.hosewright.companion

import org.hosewright.core.FormOf
import org.hosewright.core.FormSaved
import org.hosewright.core.Verdict
import org.hosewright.core.WayIn
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class RegisterTest {
    private fun FormScreen.choose(name: String, words: String) =
        touch(name, field(name).choices.first { it.label.startsWith(words) }.value)

    @Test
    fun `an empty phone greets with its ways in, and registers its first hose`(): Unit = Shop().use { shop ->
        var code = ""
        shop.phone().use { phone ->
            val welcome = WelcomeScreen(phone.desk)
            welcome.load()
            phone.settle(welcome)
            assertTrue(welcome.shown!!.words.contains("No hoses yet"))
            assertEquals(listOf(WayIn.REGISTER, WayIn.BRING_IN), welcome.shown!!.ways.map { it.way })

            var done: FormSaved? = null
            val screen = FormScreen(phone.desk, FormOf.Register(null)) { done = it }
            screen.load()
            phone.settle(screen)
            assertNull(screen.fields().find { it.name == "end_a" }, "ends wait for the service")
            screen.choose("service", "Breathing")
            phone.settle(screen)
            assertEquals("3/8-24 (the usual one)", screen.field("end_a").choices.single { it.chosen }.label)
            // Too early: the field that is missing is named, and nothing is lost.
            screen.submit()
            phone.settle(screen)
            assertEquals("construction", screen.refused)
            screen.choose("construction", "Braided")
            screen.touch("length", "22")
            phone.settle(screen)
            assertTrue(screen.field("length").wrong!!.contains("no unit"), screen.field("length").wrong)
            screen.submit()
            phone.settle(screen)
            assertEquals("length", screen.refused)
            assertEquals("22", screen.field("length").value)
            screen.touch("length", "22 in")
            screen.touch("made", "2024-03")
            screen.touch("maker", "Kelpline")
            screen.touch("protector")
            phone.settle(screen)
            assertNull(screen.shown!!.problem)
        }
        // The phone was killed: another process sees what this other desk does.
        shop.phone().use { phone ->
            var done: FormSaved? = null
            val screen = FormScreen(phone.desk, FormOf.Register(null)) { done = it }
            screen.load()
            phone.settle(screen)
            assertEquals("Kelpline", screen.field("maker").value)
            assertEquals("yes", screen.field("protector").value)
            screen.submit()
            phone.settle(screen)
            code = done!!.answer!!.code
            assertTrue(done.words.contains("print its tag"), done.words)
            assertEquals(Verdict.HOLD, done.answer!!.verdict, "it was never looked over")
            // The form is empty again, and the greeting is gone.
            screen.load()
            phone.settle(screen)
            assertEquals("", screen.field("length").value)
            val welcome = WelcomeScreen(phone.desk)
            welcome.load()
            phone.settle(welcome)
            assertNull(welcome.shown)
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
            val scan = ScanScreen(phone.desk) {}
            scan.typed(code)
            phone.settle(scan)
            assertEquals(code, scan.trouble!!.unused)
            // Scanned: what a blank tag says.
            val text = "HW1:${code.replace("-", "")}."
            scan.seen(listOf(text))
            phone.settle(scan)
            assertFalse(scan.shown!!.onRecord)
            var done: FormSaved? = null
            val screen = FormScreen(phone.desk, FormOf.Register(text)) { done = it }
            screen.load()
            phone.settle(screen)
            assertEquals(code, screen.shown!!.code)
            assertTrue(screen.shown!!.lead.first().contains("tag is blank"))
            assertTrue(screen.fields().none { it.name == "tag" })
            screen.touch("service", "gauge")
            screen.touch("construction", "rubber")
            screen.touch("length", "80 cm")
            screen.touch("barcode", "4006381333931")
            screen.submit()
            phone.settle(screen)
            assertNull(screen.trouble)
            assertEquals(code, done!!.answer!!.code)
            assertTrue(done.words.contains("the tag on it"))
            // The maker's barcode leads to it, before a camera too.
            scan.resume()
            scan.seen(listOf("4006381333931"))
            phone.settle(scan)
            assertEquals(code, scan.shown!!.code)
            // The tag is in use now: a form for another hose is refused, by its field.
            val again = FormScreen(phone.desk, FormOf.Register(text)) {}
            again.load()
            phone.settle(again)
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
                val screen = FormScreen(phone.desk, FormOf.Register(text)) {}
                screen.load()
                phone.settle(screen)
                assertTrue(screen.shown!!.lead.first().contains("import that device's record"))
                assertEquals("22 in", screen.field("length").value)
                assertEquals("2024-03", screen.field("made").value)
                assertNull(screen.shown!!.problem)
                screen.touch("length", "56 cm")
                screen.drop()
                phone.settle(screen)
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
            val screen = FormScreen(phone.desk, FormOf.Register(null)) {}
            screen.load()
            screen.touch("service", "gauge")
            screen.touch("construction", "rubber")
            screen.touch("length", "80 cm")
            for ((barcode, word) in listOf("4006381333931" to known, "HW1:${known.replace("-", "")}." to "Hosewright tag")) {
                screen.touch("barcode", barcode)
                screen.submit()
                phone.settle(screen)
                assertEquals("barcode", screen.refused)
                assertTrue(screen.trouble!!.words.contains(word), screen.trouble!!.words)
            }
            screen.touch("barcode", "")
            screen.touch("tag", known)
            screen.submit()
            phone.settle(screen)
            assertEquals("tag", screen.refused)
            assertEquals(before, shop.run("export").out)
            // Put right, it is registered once.
            screen.touch("tag", "")
            screen.submit()
            phone.settle(screen)
            assertNull(screen.trouble)
        }
        assertEquals(2, shop.run("export").out.lines().count { it.contains("\"registered\"") })
    }

    @Test
    fun `a description is put right, and a barcode bound`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            var done: FormSaved? = null
            val screen = FormScreen(phone.desk, FormOf.Hose(code, "details")) { done = it }
            screen.load()
            phone.settle(screen)
            assertEquals(code, screen.shown!!.code)
            assertEquals("Kelpline", screen.field("maker").value)
            assertEquals("B17", screen.field("lot").value)
            screen.touch("lot", "B18")
            screen.submit()
            phone.settle(screen)
            assertTrue(done!!.answer!!.hose.contains("B18"), done.answer!!.hose)
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
            val new = FormScreen(phone.desk, FormOf.Register(null)) {}
            new.load()
            phone.settle(new)
            assertTrue(new.fields().none { it.name == "why" }, "a new hose needs no reason")
            var done: FormSaved? = null
            val screen = FormScreen(phone.desk, FormOf.Hose(code, "details")) { done = it }
            screen.touch("made", "2024-03")
            screen.touch("lot", "B17")
            screen.submit()
            phone.settle(screen)
            assertEquals("why", screen.refused)
            assertTrue(screen.trouble!!.words.contains("what was not known"), screen.trouble!!.words)
            assertEquals(before, shop.run("export").out)
            screen.touch("why", "read off the hose")
            screen.submit()
            phone.settle(screen)
            assertNull(screen.trouble)
            assertTrue(done!!.answer!!.hose.contains("B17"), done.answer!!.hose)
            assertTrue(done.answer!!.age.contains("2024-03"), done.answer!!.age)
            assertTrue(phone.hose(code).history.any { it.words.contains("read off the hose") })
        }
    }

    @Test
    fun `a page that asked for a text gets it, whatever it is`(): Unit = Shop().use { shop ->
        shop.phone().use { phone ->
            val texts = mutableListOf<String>()
            val scan = ScanScreen(phone.desk, read = { texts.add(it) }) { throw AssertionError() }
            scan.seen(listOf("4006381333931"))
            scan.seen(listOf("4006381333931"))
            scan.seen(listOf("one", "another"))
            scan.typed("B17-4")
            assertEquals(listOf("4006381333931", "B17-4"), texts)
        }
    }
}
