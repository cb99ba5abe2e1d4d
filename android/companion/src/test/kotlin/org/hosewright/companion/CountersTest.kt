package org.hosewright.companion

import java.util.concurrent.Executor
import java.util.concurrent.LinkedBlockingQueue
import java.util.concurrent.TimeUnit
import java.util.concurrent.atomic.AtomicInteger
import org.hosewright.core.Follows
import org.hosewright.core.FormOf
import org.hosewright.core.Goes
import org.hosewright.core.PageOf
import org.hosewright.core.PhoneRecord
import org.hosewright.core.Touch
import org.hosewright.core.Wanted
import org.hosewright.door.Silent
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

/** Counters in the shop's network, met when a person asks and by themselves. */
class CountersTest {
    private fun Phone.hoses() = page(PageOf.Hoses).shown.hoses!!.hoses.map { it.code }

    /** Switches the phone's own setting. */
    private fun Phone.meetsByItself(yes: Boolean) {
        val settings = Form(this, FormOf.Settings)
        settings.screen.touch(Touch.Tick("network", yes))
        settle(settings.screen)
        settings.submit()
        assertNotNull(settings.done)
    }

    @Test
    fun `a scanned symbol leads to a form that asks first`(): Unit = Shop().use { shop ->
        Silent().use { counter ->
            shop.phone().use { phone ->
                val of = FormOf.Counters(counter.symbol)
                val scan = Scan(phone)
                scan.seen(counter.symbol)
                assertEquals(Follows.Form(of), scan.followed.removeLast())
                scan.go(Touch.Look)
                scan.typed(" ${counter.symbol}\n")
                assertEquals(Follows.Form(of), scan.followed.single())
                val form = Form(phone, of)
                assertEquals(say.network, form.shown.title)
                assertTrue(form.shown.lead.first().contains(counter.at), form.shown.lead.toString())
                assertTrue(form.shown.submit.isNotEmpty() && form.shown.groups.isEmpty())
                // Who asked for a hose gets no form.
                assertNotNull(Scan(phone, Wanted.HOSE).apply { typed(counter.symbol) }.trouble)
            }
            assertFalse(counter.wasCalled(), "nobody said yes")
        }
    }

    @Test
    fun `a symbol that is spoilt, or of a later program, is said`(): Unit = Shop().use { shop ->
        shop.phone().use { phone ->
            val whole = Silent().use { it.symbol }
            val table = listOf(
                whole.take(60) to "was not read whole",
                whole.substringBefore('/') to "was not read whole",
                whole.replace("HWC1", "HWC2") to "a later Hosewright",
            )
            for ((text, words) in table) {
                val scan = Scan(phone)
                scan.seen(text)
                assertTrue(scan.trouble!!.words.contains(words, ignoreCase = true), scan.trouble!!.words)
                assertEquals(emptyList<Follows>(), scan.followed)
            }
        }
    }

    @Test
    fun `a phone that no counter let in says how, and has nothing to meet`(): Unit = Shop().use { shop ->
        shop.phone().use { phone ->
            val form = Form(phone, FormOf.Counters(null))
            assertEquals("", form.shown.submit)
            assertEquals(Goes.Scan, form.shown.other!!.goes)
            assertTrue(form.shown.lead.any { it.contains("No counter let this phone in yet") }, form.shown.lead.toString())
        }
    }

    @Test
    fun `a counter that says nothing is stopped, and nobody who scans waits for it`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        Silent().use { counter ->
            shop.phone().use { phone ->
                val form = Form(phone, FormOf.Counters(counter.symbol))
                form.screen.touch(Touch.Save(emptyList(), null))
                // The button is touched again before the page is drawn.
                form.screen.touch(Touch.Save(emptyList(), null))
                phone.until { form.screen.underWay }
                assertEquals("Waiting for the other side.", form.screen.progress)
                assertEquals(code, phone.scan(code).code)
                assertTrue(form.screen.underWay)
                form.screen.stop()
                phone.settle(form.screen)
                assertTrue(form.trouble!!.words.contains("stopped, as asked", ignoreCase = true), form.trouble!!.words)
                assertNull(form.screen.progress)
                assertNull(form.done)
                assertFalse(form.screen.underWay)
            }
            // Once, and it was let go.
            assertTrue(counter.wasCalled())
            assertFalse(counter.wasCalled())
        }
    }

    @Test
    fun `a counter lets the phone in, is met by itself from then on, and not while that is off`(): Unit = Shop().use { counter ->
        Shop().use { shop ->
            counter.done("device found")
            val (there, here) = counter.hose() to shop.hose()
            val port = counter.door().use { door ->
                shop.phone().use { phone ->
                    val form = Form(phone, FormOf.Counters(door.symbol()))
                    val told = mutableListOf<String?>()
                    form.screen.onChange = { told.add(form.screen.progress) }
                    form.submit()
                    assertNull(form.trouble, form.trouble?.words)
                    assertTrue(form.done!!.notes.any { it.startsWith("Met the counter") }, form.done.toString())
                    assertTrue(form.done!!.notes.contains("1 entry sent, 1 of them new there."), form.done.toString())
                    assertTrue(told.any { it == "Waiting for the other side." }, told.toString())
                    assertEquals(setOf(there, here), phone.hoses().toSet())
                }
                assertTrue(counter.run("list").out.contains(here))
                // A new start: the page that is looked at shows what came in meanwhile.
                val late = counter.hose()
                shop.phone().use { phone ->
                    val list = phone.page(PageOf.Hoses)
                    phone.until { list.shown.hoses!!.hoses.any { it.code == late } }
                    val known = Form(phone, FormOf.Counters(null)).shown
                    assertTrue(known.submit.isNotEmpty() && known.lead.any { it.contains("last met") }, known.lead.toString())
                }
                door.port
            }
            shop.phone().use { phone ->
                // Nobody answers, which is said, and can be tried again.
                val form = Form(phone, FormOf.Counters(null))
                form.submit()
                assertNull(form.done)
                assertTrue(form.trouble!!.words.contains("can't be reached"), form.trouble!!.words)
                assertTrue(form.shown.submit.isNotEmpty())
                phone.meetsByItself(false)
                assertEquals("", Form(phone, FormOf.Counters(null)).shown.submit)
            }
            // Where the counter was, nobody calls.
            Silent(port).use { silent ->
                assertFalse(PhoneRecord(shop.place()).meetByItself(TODAY))
                assertFalse(silent.wasCalled(), "it is off")
                shop.phone().use { it.meetsByItself(true) }
                val again = PhoneRecord(shop.place())
                val met = Thread { again.meetByItself(TODAY) }.apply { start() }
                silent.hangUp()
                met.join()
                // Some minutes have to pass.
                assertFalse(again.meetByItself(TODAY))
                assertFalse(silent.wasCalled())
            }
        }
    }

    @Test
    fun `what fails while nobody asked stops nothing`(): Unit = Shop().use { shop ->
        val told = LinkedBlockingQueue<Runnable>()
        val asked = AtomicInteger()
        val uncaught = AtomicInteger()
        val today = {
            if (Thread.currentThread().name == "hosewright-unasked") {
                asked.incrementAndGet()
                throw IllegalStateException("no calendar")
            }
            TODAY
        }
        val before = Thread.getDefaultUncaughtExceptionHandler()
        Thread.setDefaultUncaughtExceptionHandler { _, _ -> uncaught.incrementAndGet() }
        try {
            val desk = Desk(shop.place(), today, Executor { told.add(it) })
            val screen = Screen(desk, PageOf.Hoses)
            // After the first failure it is tried again.
            while (asked.get() < 2) {
                screen.touch(Touch.Look)
                while (screen.asking > 0) told.poll(NEVER, TimeUnit.SECONDS)!!.run()
                assertNotNull(screen.shown.hoses)
            }
            desk.close()
            assertTrue(desk.awaitClosed(NEVER))
            assertEquals(0, uncaught.get())
        } finally {
            Thread.setDefaultUncaughtExceptionHandler(before)
        }
    }
}
