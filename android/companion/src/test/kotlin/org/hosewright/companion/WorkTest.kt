package org.hosewright.companion

import org.hosewright.core.FieldKind
import org.hosewright.core.Follows
import org.hosewright.core.FormOf
import org.hosewright.core.Goes
import org.hosewright.core.PageOf
import org.hosewright.core.Touch
import org.hosewright.core.Verdict
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class WorkTest {
    private fun Shop.heron(use: String) = done("set new Heron --use $use --ports HP:7/16-20=1,LP:3/8-24=4")

    /** A form, as it is when the phone is started again. */
    private fun Phone.form(of: FormOf) = Form(this, of)

    private fun Phone.swap(old: String, new: String) = form(FormOf.Swap(old, new))

    private fun Form.step() = shown.groups.single().title

    @Test
    fun `a swap is left at every step and taken up again`(): Unit = Shop().use { shop ->
        shop.heron("personal")
        val old = shop.fitted("Heron", "LP1")
        val new = shop.hose()
        shop.done("inspect $new --kind full")
        var leaked = false
        var steps = 0
        while (true) {
            // Each step on a phone started again: nothing is kept but what is on record.
            val over = shop.phone().use { phone ->
                val swap = phone.swap(old, new)
                swap.trouble?.let { throw AssertionError(it.words) }
                val todo = swap.step()
                val form = swap.shown
                assertTrue(form.lead.any { it.startsWith("Step ${steps + 1} of ") }, form.lead.toString())
                val answers = form.answers
                val scan = swap.fields().find { it.kind == FieldKind.SCAN_TO_ANSWER }
                val test = swap.fields().any { it.name == "result" }
                val goes = swap.fields().any { it.name == "why" }
                if (test) swap.tap("result", if (leaked) "passed" else "failed")
                // A pass is written with the pressure in the cylinder.
                if (test) swap.tap("pressure", "200 bar")
                if (goes) swap.tap("why", "worn")
                if (scan != null) swap.tap(scan.name, if (scan.value.startsWith("old")) old else new)
                else swap.submit(if (goes) answers.last().value else answers.first().value)
                swap.trouble?.let { throw AssertionError("$todo: ${it.words}") }
                if (test && !leaked) {
                    leaked = true
                    assertTrue(swap.said.contains("it leaked"), swap.said)
                    assertEquals(todo, swap.step())
                } else {
                    steps += 1
                }
                // A second tap on the same button answers no other step.
                if (swap.done == null && scan == null && !test) {
                    val next = swap.step()
                    swap.submit(answers.first().value)
                    assertEquals(next, swap.step())
                }
                swap.done?.also { assertEquals(new, it.answer!!.code) }
            }
            if (over != null) break
        }
        assertTrue(steps > 12, "$steps")
        shop.phone().use { phone ->
            assertEquals(Verdict.RETIRE, phone.scan(old).verdict)
            val answer = phone.scan(new)
            assertTrue(Goes.Set("Heron") in answer.actions.map { it.goes })
            assertEquals(Verdict.READY, answer.verdict)
        }
    }

    @Test
    fun `the new hose goes into another port, chosen before the swap is begun`(): Unit = Shop().use { shop ->
        shop.heron("personal")
        val old = shop.fitted("Heron", "LP1")
        shop.fitted("Heron", "LP3")
        val new = shop.hose()
        shop.done("inspect $new --kind full")
        shop.phone().use { phone ->
            val swap = phone.swap(old, new)
            fun place() = swap.shown.named!!
            assertTrue(place().contains("LP1"))
            assertEquals(listOf("LP1", "LP2", "LP4"), swap.field("port").choices.map { it.value })
            swap.tap("port", "LP3")
            assertEquals("port", swap.refused, "what is taken is not offered")
            swap.tap("port", "LP4")
            assertTrue(place().contains("LP4"))
            swap.submit(swap.shown.answers.first().value)
            assertNull(swap.trouble)
        }
        // Begun, it is the record that knows the port.
        shop.phone().use { phone ->
            val swap = phone.swap(old, new)
            assertTrue(swap.shown.named!!.contains("LP4"))
            assertTrue(swap.fields().none { it.name == "port" })
        }
    }

    @Test
    fun `a swap that cannot be is refused, and one that was begun is given up`(): Unit = Shop().use { shop ->
        shop.heron("personal")
        val old = shop.fitted("Heron", "LP1")
        val new = shop.hose()
        shop.phone().use { phone ->
            val swap = phone.swap(old, new)
            assertTrue(swap.trouble!!.words.contains("held"), swap.trouble!!.words)
            shop.done("inspect $new --kind full")
            swap.tryAgain()
            assertNull(swap.trouble)
            assertNull(swap.shown.other)
            swap.submit(swap.shown.answers.first().value)
            assertEquals(Goes.Form(FormOf.Swap(old, new)), phone.scan(old).next.goes)
            val giveUp = phone.form((swap.shown.other!!.goes as Goes.Form).of)
            giveUp.tap("why", "spanner missing")
            giveUp.submit()
            assertEquals(old, giveUp.done!!.answer!!.code)
        }
    }

    @Test
    fun `a set is handed out when every hose of it was scanned`(): Unit = Shop().use { shop ->
        shop.heron("rental")
        val hoses = listOf("LP1", "LP2", "LP3").map { shop.fitted("Heron", it) }
        val stranger = shop.hose()
        val of = FormOf.HandOut("Heron")
        fun Form.listed(title: String) = shown.lists.find { it.title == title }?.hoses.orEmpty().map { it.code }
        fun Form.foreign() = fields().filter { it.name == "foreign" }.flatMap { it.choices }.map { it.value }
        shop.phone().use { phone ->
            val out = phone.form(of)
            assertEquals(3, out.listed("Missing").size)
            assertEquals("", out.shown.submit)
            for (text in listOf(hoses[1], hoses[1], stranger, "nonsense")) out.tap("scanned", text)
            assertEquals(listOf(hoses[1]), out.listed("Found"))
            assertEquals(2, out.foreign().size)
            assertEquals("", out.shown.submit, "what is not known is not lifted")
        }
        shop.phone().use { phone ->
            val out = phone.form(of)
            assertEquals(listOf(hoses[1]) to setOf(stranger, "nonsense"), out.listed("Found") to out.foreign().toSet(), "the scans outlived the phone")
            out.tap("ticket", "4711")
            out.submit()
            assertNotNull(out.trouble)
            assertNull(out.done)
            out.tap("foreign", "nonsense")
            assertEquals(listOf(stranger), out.foreign())
            out.drop()
            hoses.forEach { out.tap("scanned", it) }
            assertEquals("Hand out", out.shown.submit, out.shown.lead.toString())
            out.submit()
            assertEquals("ticket", out.refused)
            out.tap("ticket", "4711")
            out.submit()
            assertTrue(out.done!!.words.contains("ticket 4711, with 3 hoses"), out.done!!.words)
            // It cannot go out twice.
            assertEquals("", Form(phone, of).shown.submit)
        }
        shop.phone().use { phone ->
            val back = Form(phone, FormOf.TakeBack("Heron"))
            assertEquals(3, back.fields().count { it.name.endsWith("|at") })
            back.tap("dives", "4")
            back.tap("${hoses[0]}|finding", "run:bulge")
            assertNull(back.trouble)
        }
        shop.phone().use { phone ->
            val back = Form(phone, FormOf.TakeBack("Heron"))
            assertEquals("4", back.field("dives").value)
            back.submit()
            assertTrue(back.trouble!!.words.contains("neither scanned nor named missing"), back.trouble!!.words)
            hoses.forEach {
                back.tap("scanned", it)
            }
            back.tap("scanned", stranger)
            assertEquals("scanned", back.refused)
            val at = "${hoses[1]}|at"
            for (where in listOf("missing", "here")) {
                back.tap(at, where)
                assertEquals(where, back.field(at).value)
            }
            val seen = back.fields().filter { it.name == "${hoses[0]}|finding" }.flatMap { it.choices }.filter { it.chosen }
            assertEquals("run:bulge", seen.single().value)
            back.tap("${hoses[1]}|finding", "run:wee")
            assertNotNull(back.trouble)
            // Nothing counts as looked at that nobody said.
            back.submit()
            assertTrue(back.trouble!!.words.contains("othing is said of how"), back.trouble!!.words)
            back.submit(back.shown.answers.first().value)
            assertTrue(back.done!!.words.contains("4 dives each"), back.done!!.words)
            assertEquals(Verdict.RETIRE, phone.scan(hoses[0]).verdict)
        }
    }

    /** Each hose buzzes as it is held before the camera, and the last one ends it. */
    @Test
    fun `hoses tick off before a camera that stays open`(): Unit = Shop().use { shop ->
        shop.heron("rental")
        val hoses = listOf("LP1", "LP2", "LP3").map { shop.fitted("Heron", it) }
        shop.phone().use { phone ->
            val of = FormOf.HandOut("Heron")
            val form = Screen(phone.desk, PageOf.Form(of))
            val followed = mutableListOf<Follows>()
            form.onFollows = { followed.add(it) }
            form.touch(Touch.Look)
            phone.settle(form)
            assertEquals(listOf<Follows>(Follows.Ticks(of)), followed)
            val camera = Screen(phone.desk, PageOf.Ticks(of))
            val ticked = mutableListOf<Follows.Ticked>()
            camera.onFollows = { ticked.add(it as Follows.Ticked) }
            camera.touch(Touch.Look)
            phone.settle(camera)
            for (hose in hoses) {
                // Seen in many frames, it buzzes once.
                repeat(3) {
                    camera.frame(listOf("HW1:${hose.replace("-", "")}."))
                    phone.settle(camera)
                }
            }
            assertEquals(listOf(false, false, true), ticked.map { it.all })
            assertTrue(ticked.all { it.well })
            assertEquals(listOf("Found"), camera.shown.ticks!!.lists.map { it.title })
            form.touch(Touch.Look)
            phone.settle(form)
            assertEquals(1, followed.size)
            assertEquals("Hand out", form.shown.form!!.submit)
        }
    }

    @Test
    fun `a name and a reason lift what can be lifted`(): Unit = Shop().use { shop ->
        shop.heron("rental")
        val hoses = listOf("LP1", "LP2").map { shop.fitted("Heron", it) }
        shop.phone().use { phone ->
            val out = phone.form(FormOf.HandOut("Heron"))
            out.tap("scanned", hoses[0])
            assertTrue(out.shown.lead.any { it.contains("with your name") })
            out.tap("ticket", "12")
            out.tap("why", "pool session, octopus not used")
            out.submit()
            assertNull(out.trouble)
            val history = phone.hose(hoses[0]).history.first()
            assertTrue(history.words.contains("pool session") && history.by == "phone", "$history")
        }
    }

    @Test
    fun `sets, ports and what is due are shown as the command line has them`(): Unit = Demo.shop().use { shop ->
        shop.phone().use { phone ->
            val sets = phone.page(PageOf.Sets).shown.sets!!
            assertTrue(sets.size > 3)
            val listed = shop.run("set", "list").out
            for (line in sets) assertTrue(listed.contains(line.name.take(8)), line.name)
            val set = phone.page(PageOf.Set(sets.first().name)).shown.set!!
            assertTrue(set.ports.any { it.hose != null } && set.ports.all { it.holds.isNotBlank() })
            val due = phone.page(PageOf.Due, Touch.Within("1y")).shown.due!!
            val csv = shop.run("due", "--within", "1y", "--csv").out.trim().lines().drop(1)
            assertEquals(csv.size, due.rows.size)
            csv.zip(due.rows).forEach { (line, row) ->
                assertTrue(line.startsWith(row.on) && line.contains(row.code), "$line\n$row")
            }
            val odd = phone.page(PageOf.Due, Touch.Within("soon")).shown
            assertTrue(odd.trouble!!.words.contains("soon"))
        }
    }
}
