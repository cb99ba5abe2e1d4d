package org.hosewright.companion

import java.io.File
import java.nio.ByteBuffer
import java.nio.file.Files
import java.util.concurrent.CountDownLatch
import java.util.concurrent.Executors
import java.util.concurrent.TimeUnit
import java.util.concurrent.atomic.AtomicInteger
import org.hosewright.core.Follows
import org.hosewright.core.FormOf
import org.hosewright.core.Logbook
import org.hosewright.core.Obstacle
import org.hosewright.core.Page
import org.hosewright.core.PageOf
import org.hosewright.core.PhoneRecord
import org.hosewright.core.RefusedException
import org.hosewright.core.Touch
import org.hosewright.core.WayOn
import org.hosewright.core.Written
import org.hosewright.core.chipContent
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class DeskTest {
    @Test
    fun `questions are answered in their order, off the thread of screens`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            val threads = mutableSetOf<String>()
            val order = mutableListOf<Int>()
            repeat(50) { number ->
                phone.desk.ask({ record, today ->
                    synchronized(threads) { threads.add(Thread.currentThread().name) }
                    Page(record, PageOf.Hose(code), null).touch(Touch.Look, today)
                }) { order.add(number) }
            }
            repeat(50) { phone.next() }
            assertEquals((0 until 50).toList(), order)
            assertEquals(setOf("hosewright-record"), threads)
        }
    }

    @Test
    fun `many threads ask one logbook, and all that they write is there`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().close()
        val record = PhoneRecord(shop.place())
        Logbook.open(shop.place()).use { logbook ->
            val pool = Executors.newFixedThreadPool(8)
            val failures = AtomicInteger()
            repeat(8) {
                pool.execute {
                    try {
                        repeat(10) {
                            val page = Page(record, PageOf.Form(FormOf.Hose(code, "clean")), null)
                            assertNotNull(page.touch(Touch.Save(emptyList(), null), TODAY).shown.done)
                            assertEquals(code, logbook.answer(code, MOMENT).code)
                        }
                    } catch (_: Throwable) {
                        failures.incrementAndGet()
                    }
                }
            }
            pool.shutdown()
            assertTrue(pool.awaitTermination(NEVER, TimeUnit.SECONDS))
            assertEquals(0, failures.get())
            assertEquals(81, logbook.history(code).size)
        }
    }

    @Test
    fun `closing finishes what was asked and tells nothing more`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        val phone = shop.phone()
        val screen = Screen(phone.desk, PageOf.Form(FormOf.Hose(code, "clean")))
        screen.touch(Touch.Save(emptyList(), null))
        phone.desk.close()
        phone.desk.close()
        assertTrue(phone.desk.awaitClosed(NEVER))
        phone.pending()
        assertNull(screen.shown.done)
        screen.touch(Touch.Look)
        phone.pending()
        assertNull(screen.shown.form)
        assertTrue(shop.run("show", code).run { out + err }.isNotEmpty())
        Logbook.open(shop.place()).use { assertEquals("soaked, cleaned and dried", it.history(code).first().words) }
    }

    @Test
    fun `a logbook that is closed says so and does not crash`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        val logbook = Logbook.open(shop.place())
        logbook.answer(code, MOMENT)
        logbook.close()
        logbook.close()
        assertThrows(IllegalStateException::class.java) { logbook.answer(code, MOMENT) }
    }

    @Test
    fun `a screen that is left hears nothing, and its work is done`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            val screen = Screen(phone.desk, PageOf.Form(FormOf.Hose(code, "clean")))
            var changes = 0
            screen.onChange = { changes += 1 }
            screen.onFollows = { throw AssertionError("$it") }
            screen.touch(Touch.Save(emptyList(), null))
            val before = changes
            screen.leave()
            phone.next()
            assertEquals(before, changes)
            assertEquals("soaked, cleaned and dried", phone.hose(code).history.first().words)
        }
    }

    @Test
    fun `a locked store is said, and works again when it is free`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            phone.scan(code)
            val holder = ProcessBuilder(
                "python3", "-c",
                "import sqlite3,sys\nc=sqlite3.connect(sys.argv[1],isolation_level=None)\nc.execute('BEGIN IMMEDIATE')\n" +
                    "print('held',flush=True)\nsys.stdin.readline()\nc.execute('ROLLBACK')\nprint('free',flush=True)\nsys.stdin.readline()",
                shop.store.toString(),
            ).redirectError(ProcessBuilder.Redirect.INHERIT).start()
            val said = holder.inputStream.bufferedReader()
            assertEquals("held", said.readLine())
            val screen = Form(phone, FormOf.Hose(code, "clean"))
            screen.submit()
            assertEquals(Obstacle.STORE_IN_USE, screen.trouble!!.obstacle)
            assertEquals(listOf(WayOn.TRY_AGAIN), screen.trouble!!.waysOn.map { it.way })
            // It can still be read.
            assertEquals(code, phone.scan(code).code)
            holder.outputStream.run { write('\n'.code); flush() }
            assertEquals("free", said.readLine())
            screen.tryAgain()
            assertNull(screen.trouble)
            assertEquals("soaked, cleaned and dried", phone.hose(code).history.first().words)
            holder.destroy()
        }
    }

    @Test
    fun `an answer that comes after the page was left leads nowhere`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            val scan = Scan(phone)
            scan.screen.touch(Touch.Typed(code))
            scan.screen.away()
            phone.settle(scan.screen)
            assertEquals(emptyList<Follows>(), scan.followed)
            scan.go(Touch.Look)
            scan.typed(code)
            assertEquals(1, scan.followed.size)
        }
    }

    @Test
    fun `touches of one turn go in their order and none is lost`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            repeat(20) { round ->
                val screen = Screen(phone.desk, PageOf.Form(FormOf.Hose(code, "quick-look")))
                repeat(8) { screen.touch(Touch.Write("note", "$round-$it")) }
                screen.touch(Touch.Choose("finding", "run:scuff", true))
                screen.touch(Touch.Save(listOf(Written("note", "$round-last")), null))
                // A button that is touched again before the page is drawn.
                screen.touch(Touch.Save(emptyList(), null))
                phone.settle(screen)
                val history = phone.hose(code).history
                assertTrue(history.first().words.contains("$round-last"), history.first().words)
                assertEquals(round + 2, history.size)
            }
        }
    }

    @Test
    fun `the name is asked before the first entry`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone(nameless = true).use { phone ->
            assertEquals(code, phone.scan(code).code)
            val screen = phone.submit(FormOf.Hose(code, "clean")).screen
            assertNotNull(screen.shown.question!!.field)
            assertEquals(1, phone.hose(code).history.size)
            screen.touch(Touch.Yes("Mo"))
            phone.settle(screen)
            assertNotNull(screen.shown.done)
            assertEquals("Mo", phone.hose(code).history.first().by)
        }
    }

    @Test
    fun `a file that is no store is said and left as it is`(): Unit = Shop().use { shop ->
        Files.write(shop.store, "holiday pictures".toByteArray())
        shop.phone().use { phone ->
            val screen = phone.page(PageOf.Hose("7K2M9"))
            val trouble = screen.shown.trouble!!
            assertEquals(Obstacle.STORE_DAMAGED, trouble.obstacle)
            assertFalse(trouble.words.contains("--store"))
            assertNotNull(trouble.detail)
            assertEquals("holiday pictures", String(Files.readAllBytes(shop.store)))
            // Put right meanwhile: the same screen goes on.
            Files.delete(shop.store)
            val code = shop.hose()
            screen.touch(Touch.TryAgain)
            phone.settle(screen)
            assertTrue(screen.shown.trouble!!.words.isNotBlank() && screen.shown.trouble!!.obstacle == null)
            assertEquals(code, phone.scan(code).code)
        }
    }

    @Test
    fun `ten thousand calls leave no memory behind`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.done("inspect $code --kind full --finding run:scuff")
        val message = Logbook.open(shop.place()).use { it.chipMessage(code, 492u, ByteArray(0), false, MOMENT).bytes }
        val frame = frameOf(Demo.photo)
        val small = Frame(frame.luma.duplicate().apply { limit(frame.stride * 63 + 64) }, 64, 64, frame.stride) {}
        Logbook.open(shop.place()).use { logbook ->
            fun round() {
                logbook.answer(code, MOMENT)
                assertThrows(RefusedException.UnknownHose::class.java) { logbook.answer("ZZZZZ", MOMENT) }
                chipContent(message)
                small.read()
            }
            repeat(1_000) { round() }
            val grown = grownByWindow(2_500) { round() }
            assertTrue(grown.last() < LEAK, "each 10,000 calls grew the process, in kB: $grown")
        }
    }

    @Test
    fun `a leak would be noticed`() {
        val kept = mutableListOf<ByteBuffer>()
        // An answer's 4 kB for each of a round's four calls; memory that was freed
        // before is used again first, so a smaller one may hide in one window.
        val grown = grownByWindow(2_500) {
            kept.add(ByteBuffer.allocateDirect(16_384).apply { while (hasRemaining()) put(1) })
        }
        assertTrue(grown.all { it >= LEAK } && kept.isNotEmpty(), "$grown")
    }

    /**
     * By how many kB the process grew in windows of so many rounds, until one did
     * not grow. The JVM itself grows while it still compiles; a leak grows in all.
     */
    private fun grownByWindow(rounds: Int, round: () -> Unit): List<Long> {
        val grown = mutableListOf<Long>()
        do {
            val before = resident()
            repeat(rounds) { round() }
            grown.add(resident() - before)
        } while (grown.last() >= LEAK && grown.size < 5)
        return grown
    }

    /** The process's memory in kB, the JVM's own heap after it was tidied. */
    private fun resident(): Long {
        repeat(3) {
            System.gc()
            Thread.sleep(50)
        }
        val line = File("/proc/self/status").readLines().first { it.startsWith("VmRSS") }
        return line.filter { it.isDigit() }.toLong()
    }

    private companion object {
        /** 0.4 kB a call over 10,000 calls, in kB. */
        const val LEAK = 4_000L
    }
}
