package org.hosewright.companion

import org.hosewright.core.Described
import org.hosewright.core.FieldEntry
import org.hosewright.core.FieldShown
import org.hosewright.core.HoseSubject
import org.hosewright.core.Verdict
import org.hosewright.core.WayIn
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class RegisterTest {
    private fun HoseFormScreen.field(name: String): FieldShown = shown!!.fields.first { it.name == name }

    private fun HoseFormScreen.choose(name: String, words: String) =
        fill(name, field(name).choices.first { it.words.startsWith(words) }.value)

    @Test
    fun `an empty phone greets with its ways in, and registers its first hose`(): Unit = Shop().use { shop ->
        var code = ""
        shop.phone().use { phone ->
            val welcome = WelcomeScreen(phone.desk)
            welcome.load()
            phone.settle(welcome)
            assertTrue(welcome.shown!!.words.contains("No hoses yet"))
            assertEquals(listOf(WayIn.REGISTER, WayIn.BRING_IN), welcome.shown!!.ways.map { it.way })

            var done: Described? = null
            val screen = HoseFormScreen(phone.desk, HoseSubject.New(null)) { done = it }
            screen.load()
            phone.settle(screen)
            assertNull(screen.shown!!.fields.find { it.name == "end-a" }, "ends wait for the service")
            screen.choose("service", "Breathing")
            phone.settle(screen)
            assertEquals("3/8-24 (the usual one)", screen.field("end-a").choices.single { it.chosen }.words)
            // Too early: the field that is missing is named, and nothing is lost.
            screen.finish()
            phone.settle(screen)
            assertEquals("construction", screen.refused)
            screen.choose("construction", "Braided")
            screen.fill("length", "22")
            phone.settle(screen)
            assertTrue(screen.field("length").wrong!!.contains("no unit"), screen.field("length").wrong)
            screen.finish()
            phone.settle(screen)
            assertEquals("length", screen.refused)
            assertEquals("22", screen.field("length").value)
            screen.fill("length", "22 in")
            screen.fill("made", "2024-03")
            screen.fill("maker", "Kelpline")
            screen.tick("protector", true)
            phone.settle(screen)
            assertTrue(screen.shown!!.complete)
        }
        // The phone was killed: another process sees what this other desk does.
        shop.phone().use { phone ->
            var done: Described? = null
            val screen = HoseFormScreen(phone.desk, HoseSubject.New(null)) { done = it }
            screen.load()
            phone.settle(screen)
            assertEquals("Kelpline", screen.field("maker").value)
            assertEquals("yes", screen.field("protector").value)
            screen.finish()
            phone.settle(screen)
            code = done!!.answer.code
            assertTrue(done.words.contains("print its tag"), done.words)
            assertEquals(Verdict.HOLD, done.answer.verdict, "it was never looked over")
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
            var done: Described? = null
            val screen = HoseFormScreen(phone.desk, HoseSubject.New(text)) { done = it }
            screen.load()
            phone.settle(screen)
            assertEquals(code, screen.shown!!.tag)
            assertTrue(screen.shown!!.lead.first().contains("tag is blank"))
            assertTrue(screen.shown!!.fields.none { it.entry == FieldEntry.TAG })
            screen.fill("service", "gauge")
            screen.fill("construction", "rubber")
            screen.fill("length", "80 cm")
            screen.fill("barcode", "4006381333931")
            screen.finish()
            phone.settle(screen)
            assertNull(screen.trouble)
            assertEquals(code, done!!.answer.code)
            assertTrue(done.words.contains("the tag on it"))
            // The maker's barcode leads to it, before a camera too.
            scan.resume()
            scan.seen(listOf("4006381333931"))
            phone.settle(scan)
            assertEquals(code, scan.shown!!.code)
            // The tag is in use now: a form for another hose is refused, by its field.
            val again = HoseFormScreen(phone.desk, HoseSubject.New(text)) {}
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
                val screen = HoseFormScreen(phone.desk, HoseSubject.New(text)) {}
                screen.load()
                phone.settle(screen)
                assertTrue(screen.shown!!.lead.first().contains("import that device's record"))
                assertEquals("22 in", screen.field("length").value)
                assertEquals("2024-03", screen.field("made").value)
                assertTrue(screen.shown!!.complete)
                screen.fill("length", "56 cm")
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
            val hose = HoseScreen(phone.desk, known)
            hose.bind("4006381333931")
            phone.settle(hose)
        }
        val before = shop.run("export").out
        shop.phone().use { phone ->
            val screen = HoseFormScreen(phone.desk, HoseSubject.New(null)) {}
            screen.load()
            screen.fill("service", "gauge")
            screen.fill("construction", "rubber")
            screen.fill("length", "80 cm")
            for ((barcode, word) in listOf("4006381333931" to known, "HW1:${known.replace("-", "")}." to "Hosewright tag")) {
                screen.fill("barcode", barcode)
                screen.finish()
                phone.settle(screen)
                assertEquals("barcode", screen.refused)
                assertTrue(screen.trouble!!.words.contains(word), screen.trouble!!.words)
            }
            screen.fill("barcode", "")
            screen.fill("tag", known)
            screen.finish()
            phone.settle(screen)
            assertEquals("tag", screen.refused)
            assertEquals(before, shop.run("export").out)
            // Put right, it is registered once.
            screen.fill("tag", "")
            screen.finish()
            phone.settle(screen)
            assertNull(screen.trouble)
        }
        assertEquals(2, shop.run("export").out.lines().count { it.contains("\"registered\"") })
    }

    @Test
    fun `a description is put right, and a barcode bound`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            var done: Described? = null
            val screen = HoseFormScreen(phone.desk, HoseSubject.OnRecord(code)) { done = it }
            screen.load()
            phone.settle(screen)
            assertEquals(code, screen.shown!!.tag)
            assertEquals("Kelpline", screen.field("maker").value)
            assertEquals("B17", screen.field("lot").value)
            screen.fill("lot", "B18")
            screen.finish()
            phone.settle(screen)
            assertTrue(done!!.answer.hose.contains("B18"), done.answer.hose)
            val hose = HoseScreen(phone.desk, code)
            hose.bind("4006381333931")
            phone.settle(hose)
            assertNull(hose.trouble)
            assertEquals(code, phone.scan("4006381333931").code)
            hose.bind("HW1:${code.replace("-", "")}.")
            phone.settle(hose)
            assertEquals("barcode", hose.trouble!!.field)
        }
        assertTrue(shop.run("answer", code).out.contains("B18"))
    }

    @Test
    fun `what was not known is filled in with a reason, and only then`(): Unit = Shop().use { shop ->
        val code = shop.done("register --service second-stage --construction braided --length 22in " +
            "--end-a 3/8-24 --end-b 9/16-18")
        val before = shop.run("export").out
        shop.phone().use { phone ->
            val new = HoseFormScreen(phone.desk, HoseSubject.New(null)) {}
            new.load()
            phone.settle(new)
            assertTrue(new.shown!!.fields.none { it.name == "why" }, "a new hose needs no reason")
            var done: Described? = null
            val screen = HoseFormScreen(phone.desk, HoseSubject.OnRecord(code)) { done = it }
            screen.fill("made", "2024-03")
            screen.fill("lot", "B17")
            screen.finish()
            phone.settle(screen)
            assertEquals("why", screen.refused)
            assertTrue(screen.trouble!!.words.contains("needs a reason"), screen.trouble!!.words)
            assertEquals(before, shop.run("export").out)
            screen.fill("why", "read off the hose")
            screen.finish()
            phone.settle(screen)
            assertNull(screen.trouble)
            assertTrue(done!!.answer.hose.contains("B17"), done.answer.hose)
            assertTrue(done.answer.age.contains("2024-03"), done.answer.age)
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
