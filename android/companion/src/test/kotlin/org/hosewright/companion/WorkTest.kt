package org.hosewright.companion

import org.hosewright.core.FormOf
import org.hosewright.core.StepAsks
import org.hosewright.core.Verdict
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class WorkTest {
    private fun Shop.heron(use: String) = done("set new Heron --use $use --ports HP:7/16-20=1,LP:3/8-24=4")

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
                val swap = SwapScreen(phone.desk, old, new)
                swap.load()
                phone.settle(swap)
                swap.trouble?.let { throw AssertionError(it.words) }
                val question = swap.shown!!.next!!
                assertEquals(steps + 1, question.number.toInt(), question.name)
                val answer = when {
                    question.asks == StepAsks.SCAN -> if (question.name == "old-tag") old else new
                    question.name == "leak-test" && !leaked -> "failed"
                    // A pass is written with the pressure in the cylinder.
                    question.name == "leak-test" -> question.buttons.first().also { assertTrue(it.needsText) }.answer + " 200 bar"
                    question.name == "old-goes" -> question.buttons.last().also { assertTrue(it.needsText) }.answer + " worn"
                    else -> question.buttons.first().answer
                }
                swap.answer(answer)
                phone.settle(swap)
                swap.trouble?.let { throw AssertionError("${question.name}: ${it.words}") }
                if (question.name == "leak-test" && !leaked) {
                    leaked = true
                    assertTrue(swap.shown!!.said!!.contains("it leaked"), swap.shown!!.said)
                    assertEquals("leak-test", swap.shown!!.next!!.name)
                } else {
                    steps += 1
                }
                swap.finished
            }
            if (over) break
        }
        assertTrue(steps > 12, "$steps")
        shop.phone().use { phone ->
            assertEquals(Verdict.RETIRE, phone.scan(old).verdict)
            val answer = phone.scan(new)
            assertEquals("Heron", answer.set)
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
            val swap = SwapScreen(phone.desk, old, new)
            swap.load()
            phone.settle(swap)
            assertTrue(swap.shown!!.place.contains("LP1"))
            assertEquals(listOf("LP2", "LP4"), swap.shown!!.otherPorts)
            swap.into("LP3")
            phone.settle(swap)
            assertTrue(swap.trouble!!.words.contains("already has"), swap.trouble!!.words)
            assertNull(swap.port, "what is refused is not chosen")
            swap.into("LP4")
            phone.settle(swap)
            assertTrue(swap.shown!!.place.contains("LP4"))
            assertEquals(listOf("LP1", "LP2"), swap.shown!!.otherPorts)
            assertEquals("LP4", swap.port)
            swap.answer(swap.shown!!.next!!.buttons.first().answer)
            phone.settle(swap)
            assertNull(swap.trouble)
        }
        // Begun, it is the record that knows the port.
        shop.phone().use { phone ->
            val swap = SwapScreen(phone.desk, old, new)
            swap.load()
            phone.settle(swap)
            assertTrue(swap.shown!!.place.contains("LP4"))
            assertEquals(emptyList<String>(), swap.shown!!.otherPorts)
        }
    }

    @Test
    fun `a swap that cannot be is refused, and one that was begun is given up`(): Unit = Shop().use { shop ->
        shop.heron("personal")
        val old = shop.fitted("Heron", "LP1")
        val new = shop.hose()
        shop.phone().use { phone ->
            val swap = SwapScreen(phone.desk, old, new)
            swap.load()
            phone.settle(swap)
            assertTrue(swap.trouble!!.words.contains("held"), swap.trouble!!.words)
            shop.done("inspect $new --kind full")
            swap.tryAgain()
            phone.settle(swap)
            assertNull(swap.trouble)
            swap.answer("no")
            phone.settle(swap)
            assertTrue(swap.trouble!!.words.contains("comes first"))
            swap.answer("done")
            swap.load()
            phone.settle(swap)
            assertTrue(phone.scan(old).next is org.hosewright.core.NextStep.ContinueSwap)
            swap.giveUp("spanner missing")
            phone.settle(swap)
            assertEquals(old, swap.givenUp!!.code)
        }
    }

    @Test
    fun `a set is handed out when every hose of it was scanned`(): Unit = Shop().use { shop ->
        shop.heron("rental")
        val hoses = listOf("LP1", "LP2", "LP3").map { shop.fitted("Heron", it) }
        val stranger = shop.hose()
        shop.phone().use { phone ->
            val out = HandOutScreen(phone.desk, "Heron")
            out.load()
            phone.settle(out)
            assertEquals(3, out.shown!!.missing.size)
            assertFalse(out.shown!!.ready)
            out.scan(hoses[1])
            out.scan(hoses[1])
            out.scan(stranger)
            out.scan("nonsense")
            phone.settle(out)
            assertEquals(listOf(hoses[1]), out.shown!!.found.map { it.code })
            assertEquals(2, out.shown!!.foreign.size)
            assertFalse(out.shown!!.canBeLifted)
        }
        shop.phone().use { phone ->
            val out = HandOutScreen(phone.desk, "Heron")
            out.load()
            phone.settle(out)
            assertEquals(listOf(hoses[1], stranger, "nonsense"), out.shown!!.scanned, "the scans outlived the phone")
            out.finish("4711")
            phone.settle(out)
            assertTrue(out.trouble!!.words.contains("stays here"), out.trouble!!.words)
            assertNull(out.done)
            out.unscan("nonsense")
            phone.settle(out)
            assertEquals(listOf(hoses[1], stranger), out.shown!!.scanned)
            assertEquals(1, out.shown!!.foreign.size)
            out.anew()
            phone.settle(out)
            hoses.forEach { out.scan(it) }
            phone.settle(out)
            assertTrue(out.shown!!.ready, out.shown!!.words)
            out.finish("")
            phone.settle(out)
            assertNotNull(out.trouble)
            out.finish("4711")
            phone.settle(out)
            assertTrue(out.done!!.words.contains("ticket 4711, with 3 hoses"), out.done!!.words)
            // It cannot go out twice.
            out.load()
            phone.settle(out)
            assertFalse(out.shown!!.ready)
        }
        shop.phone().use { phone ->
            val back = FormScreen(phone.desk, FormOf.TakeBack("Heron"))
            back.load()
            phone.settle(back)
            assertEquals(3, back.fields().count { it.name.endsWith("|at") })
            back.touch("dives", "4")
            back.touch("${hoses[0]}|finding", "run:bulge")
            phone.settle(back)
            assertNull(back.trouble)
        }
        shop.phone().use { phone ->
            val back = FormScreen(phone.desk, FormOf.TakeBack("Heron"))
            back.load()
            phone.settle(back)
            assertEquals("4", back.field("dives").value)
            back.submit()
            phone.settle(back)
            assertTrue(back.trouble!!.words.contains("neither scanned nor named missing"), back.trouble!!.words)
            hoses.forEach {
                back.touch("scanned", it)
                phone.settle(back)
            }
            back.touch("scanned", stranger)
            phone.settle(back)
            assertEquals("scanned", back.refused)
            val at = "${hoses[1]}|at"
            for (where in listOf("missing", "here")) {
                back.touch(at, where)
                phone.settle(back)
                assertEquals(where, back.field(at).value)
            }
            val seen = back.fields().filter { it.name == "${hoses[0]}|finding" }.flatMap { it.choices }.filter { it.chosen }
            assertEquals("run:bulge", seen.single().value)
            back.touch("${hoses[1]}|finding", "run:wee")
            phone.settle(back)
            assertNotNull(back.trouble)
            back.submit()
            phone.settle(back)
            assertTrue(back.done!!.words.contains("4 dives each"), back.done!!.words)
            assertEquals(Verdict.RETIRE, phone.scan(hoses[0]).verdict)
        }
    }

    @Test
    fun `a name and a reason lift what can be lifted`(): Unit = Shop().use { shop ->
        shop.heron("rental")
        val hoses = listOf("LP1", "LP2").map { shop.fitted("Heron", it) }
        shop.phone().use { phone ->
            val out = HandOutScreen(phone.desk, "Heron")
            out.scan(hoses[0])
            phone.settle(out)
            assertTrue(out.shown!!.canBeLifted)
            assertTrue(out.shown!!.lifting!!.contains("with your name"))
            out.finish("12", "pool session, octopus not used")
            phone.settle(out)
            assertEquals(1, out.done!!.lifted.size)
            val history = phone.hose(hoses[0]).history.first()
            assertTrue(history.words.contains("pool session") && history.by == "phone", "$history")
        }
    }

    @Test
    fun `sets, ports and what is due are shown as the command line has them`(): Unit = Demo.shop().use { shop ->
        shop.phone().use { phone ->
            val sets = SetsScreen(phone.desk)
            sets.load()
            phone.settle(sets)
            assertTrue(sets.shown!!.size > 3)
            val listed = shop.run("set", "list").out
            for (line in sets.shown!!) assertTrue(listed.contains(line.name.take(8)), line.name)
            val set = SetScreen(phone.desk, sets.shown!!.first().name)
            set.load()
            phone.settle(set)
            assertTrue(set.shown!!.ports.any { it.hose != null } && set.shown!!.ports.all { it.holds.isNotBlank() })
            val due = DueScreen(phone.desk)
            due.load("1y")
            phone.settle(due)
            val csv = shop.run("due", "--within", "1y", "--csv").out.trim().lines().drop(1)
            assertEquals(csv.size, due.shown!!.rows.size)
            csv.zip(due.shown!!.rows).forEach { (line, row) ->
                assertTrue(line.startsWith(row.on) && line.contains(row.code), "$line\n$row")
            }
            due.load("soon")
            phone.settle(due)
            assertTrue(due.trouble!!.words.contains("soon"))
        }
    }
}

fun Phone.hose(text: String): HoseShown {
    val screen = HoseScreen(desk, text)
    screen.load()
    settle(screen)
    screen.trouble?.let { throw AssertionError(it.words) }
    return screen.shown!!
}
