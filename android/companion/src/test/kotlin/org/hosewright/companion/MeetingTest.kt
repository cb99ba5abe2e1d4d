package org.hosewright.companion

import java.io.IOException
import java.util.concurrent.CountDownLatch
import java.nio.file.Files
import org.hosewright.core.ChipHolds
import org.hosewright.core.Follows
import org.hosewright.core.Obstacle
import org.hosewright.core.PageOf
import org.hosewright.core.Touch
import org.hosewright.core.chipContent
import org.junit.jupiter.api.Assertions.assertArrayEquals
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class MeetingTest {
    private class Blank(override val room: Int, var held: ByteArray = ByteArray(0), var lost: Boolean = false) : Chip {
        override fun read(): ByteArray = held
        override fun write(message: ByteArray) {
            if (lost) throw IOException("Tag was lost.")
            held = message
        }
    }

    @Test
    fun `a bundle of the command line is taken in, twice as well as once`(): Unit = Shop().use { counter ->
        val code = counter.hose()
        counter.done("inspect $code --kind full --finding end-a:salt")
        counter.done("bundle --out counter.hwbundle")
        val bundle = counter.path("counter.hwbundle").toString()
        Shop().use { shop ->
            val own = shop.hose()
            shop.phone().use { phone ->
                val meeting = phone.page(PageOf.Meeting)
                val told = mutableListOf<String?>()
                meeting.onChange = { told.add(meeting.progress) }
                fun takeIn() {
                    // A copy, as another app's file is copied before it is read.
                    val copy = Files.copy(java.nio.file.Path.of(bundle), shop.path("copy.hwbundle"))
                    meeting.touch(Touch.TakeIn(copy.toString()))
                    phone.settle(meeting)
                    assertTrue(meeting.shown.question!!.words.first().contains("2 entries"), meeting.shown.question.toString())
                    meeting.touch(Touch.Yes(""))
                    phone.settle(meeting)
                    assertFalse(Files.exists(copy))
                }
                takeIn()
                assertTrue(told.any { it != null && it.startsWith("2 of 2 entries") }, told.toString())
                assertNull(meeting.progress)
                assertTrue(meeting.shown.said.first().startsWith("2 entries new"), meeting.shown.said.toString())
                assertEquals(counter.run("answer", code).verdictAndReasons(), shop.run("answer", code).verdictAndReasons())
                takeIn()
                assertTrue(meeting.shown.said.first().contains("2 known"), meeting.shown.said.toString())
                // And back: what the phone has goes to the counter.
                val out = shop.path("phone.hwbundle").toString()
                var shared: Follows? = null
                meeting.onFollows = { shared = it }
                meeting.touch(Touch.Bundle(out))
                phone.settle(meeting)
                assertEquals(Follows.Share(out), shared)
                assertTrue(meeting.shown.said.single().contains("3 entries"))
            }
            counter.done("merge ${shop.path("phone.hwbundle")}")
            assertEquals(1, counter.run("answer", own).code, "a hose never inspected is held")
        }
    }

    private fun Shop.Said.verdictAndReasons() = out.substringBefore("Record")

    @Test
    fun `what is no bundle changes nothing`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        val before = shop.run("export").out
        val file = Files.write(shop.path("holiday.hwbundle"), "not one".toByteArray())
        shop.phone().use { phone ->
            for (path in listOf(file, shop.path("missing.hwbundle"))) {
                val shown = phone.page(PageOf.Meeting, Touch.TakeIn(path.toString())).shown
                assertTrue(shown.trouble!!.words.isNotBlank() && shown.question == null)
            }
            val nowhere = phone.page(PageOf.Meeting, Touch.Bundle(shop.path("no/folder/x.hwbundle").toString())).shown.trouble!!
            assertTrue(nowhere.words.startsWith("The file cannot be read"), nowhere.words)
            assertEquals(code, phone.scan(code).code)
        }
        assertEquals(before, shop.run("export").out)
    }

    @Test
    fun `a chip is written, read again, and overwritten only after a yes`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.done("inspect $code --kind full")
        shop.phone().use { phone ->
            val chip = Blank(492)
            val screen = phone.page(PageOf.Chip(code))
            screen.near(chip)
            phone.settle(screen)
            assertNull(screen.shown.trouble)
            assertFalse(screen.shown.awaitsChip)
            val content = chipContent(chip.held)
            assertEquals(ChipHolds.TAG, content.holds)
            assertTrue(content.look!!.contains("full on $TODAY"), content.look)
            val scan = Scan(phone)
            scan.go(Touch.ChipRead(chip.held))
            assertEquals(code, scan.answer().code)

            val other = shop.hose()
            val before = chip.held
            val again = phone.page(PageOf.Chip(other))
            fun near(chip: Chip) {
                again.near(chip)
                phone.settle(again)
            }
            fun touch(touch: Touch) {
                again.touch(touch)
                phone.settle(again)
            }
            near(chip)
            assertTrue(again.shown.question!!.words.single().contains(code), again.shown.question.toString())
            assertArrayEquals(before, chip.held)
            touch(Touch.Yes(""))
            // The yes was for that chip: one that holds something else is asked about again.
            val website = byteArrayOf(0xD1.toByte(), 1, 12, 0x55, 4) + "example.org".toByteArray()
            val another = Blank(492, website)
            near(another)
            assertNotNull(again.shown.question)
            assertArrayEquals(website, another.held)
            near(chip)
            assertTrue(chipContent(chip.held).words.contains(other))

            touch(Touch.AnotherChip)
            near(Blank(20))
            assertTrue(again.shown.trouble!!.words.contains("room for 20"), again.shown.trouble!!.words)
            near(Blank(492, lost = true))
            assertEquals(Obstacle.CHIP_LOST, again.shown.trouble!!.obstacle)
            assertTrue(again.shown.awaitsChip)
            touch(Touch.TryAgain)
            assertNull(again.shown.trouble)
            touch(Touch.Hindered(Obstacle.CHIPS_OFF, null))
            assertEquals(Obstacle.CHIPS_OFF, again.shown.trouble!!.obstacle)
        }
    }

    @Test
    fun `the record is asked while a chip is slow`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            val hold = CountDownLatch(1)
            val slow = object : Chip {
                override val room = 492
                override fun read() = ByteArray(0).also { hold.await() }
                override fun write(message: ByteArray) = Unit
            }
            val screen = phone.page(PageOf.Chip(code))
            screen.near(slow)
            assertEquals(code, phone.scan(code).code)
            assertEquals(1, screen.asking)
            hold.countDown()
            phone.settle(screen)
            assertNull(screen.shown.trouble)
            assertFalse(screen.shown.awaitsChip)
        }
    }

    @Test
    fun `an empty chip and another's are told apart`(): Unit = Shop().use { shop ->
        shop.phone().use { phone ->
            val scan = Scan(phone)
            scan.go(Touch.ChipRead(ByteArray(0)))
            assertEquals("This chip is empty.", scan.trouble!!.words)
            // NFC Forum, RTD URI 1.0: D1 01 len 55 04 = "https://" and what follows.
            scan.go(Touch.ChipRead(byteArrayOf(0xD1.toByte(), 1, 12, 0x55, 4) + "example.org".toByteArray()))
            assertTrue(scan.trouble!!.words.contains("https://example.org"), scan.trouble!!.words)
            scan.go(Touch.ChipRead(byteArrayOf(1, 2, 3)))
            assertTrue(scan.trouble!!.words.contains("cannot be understood"), scan.trouble!!.words)
        }
    }
}
