package org.hosewright.companion

import java.io.IOException
import java.util.concurrent.CountDownLatch
import java.nio.file.Files
import org.hosewright.core.ChipHolds
import org.hosewright.core.Obstacle
import org.hosewright.core.chipContent
import org.junit.jupiter.api.Assertions.assertArrayEquals
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
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
                val meeting = MeetingScreen(phone.desk)
                val told = mutableListOf<String?>()
                meeting.onChange = { told.add(meeting.progress) }
                meeting.takeIn(bundle)
                phone.settle(meeting)
                assertTrue(told.any { it != null && it.startsWith("2 of 2 entries") }, told.toString())
                assertNull(meeting.progress)
                val merged = (meeting.shown as Met.TakenIn).merged
                assertEquals(2uL, merged.new)
                assertEquals(counter.run("answer", code).verdictAndReasons(), shop.run("answer", code).verdictAndReasons())
                meeting.takeIn(bundle)
                phone.settle(meeting)
                assertEquals(2uL, (meeting.shown as Met.TakenIn).merged.known)
                // And back: what the phone has goes to the counter.
                meeting.bundle(shop.path("phone.hwbundle").toString())
                phone.settle(meeting)
                assertTrue((meeting.shown as Met.Bundled).words.contains("3 entries"))
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
            val meeting = MeetingScreen(phone.desk)
            for (path in listOf(file, shop.path("missing.hwbundle"))) {
                meeting.takeIn(path.toString())
                phone.settle(meeting)
                assertTrue(meeting.trouble!!.words.isNotBlank())
            }
            meeting.bundle(shop.path("no/folder/x.hwbundle").toString())
            phone.settle(meeting)
            assertTrue(meeting.trouble!!.words.startsWith("The file cannot be read"), meeting.trouble!!.words)
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
            val screen = ChipScreen(phone.desk, code)
            screen.near(chip)
            phone.settle(screen)
            assertNull(screen.trouble)
            assertFalse(screen.waiting)
            val content = chipContent(chip.held)
            assertEquals(ChipHolds.TAG, content.holds)
            assertTrue(content.look!!.contains("full on $TODAY"), content.look)
            val scan = ScanScreen(phone.desk) {}
            scan.chip(chip.held)
            phone.settle(scan)
            assertEquals(code, scan.shown!!.code)

            val other = shop.hose()
            val before = chip.held
            val again = ChipScreen(phone.desk, other)
            again.near(chip)
            phone.settle(again)
            assertTrue(again.trouble!!.askOverwrite && again.trouble!!.words.contains(code), again.trouble!!.words)
            assertArrayEquals(before, chip.held)
            again.overwrite()
            // The yes was for that chip: one that holds something else is asked about again.
            val website = byteArrayOf(0xD1.toByte(), 1, 12, 0x55, 4) + "example.org".toByteArray()
            val another = Blank(492, website)
            again.near(another)
            phone.settle(again)
            assertTrue(again.trouble!!.askOverwrite)
            assertArrayEquals(website, another.held)
            again.near(chip)
            phone.settle(again)
            assertTrue(chipContent(chip.held).words.contains(other))

            again.anew()
            again.near(Blank(20))
            phone.settle(again)
            assertTrue(again.trouble!!.words.contains("room for 20"), again.trouble!!.words)
            again.near(Blank(492, lost = true))
            phone.settle(again)
            assertEquals(Obstacle.CHIP_LOST, again.trouble!!.obstacle)
            assertTrue(again.waiting)
            again.tryAgain()
            assertNull(again.trouble)
            again.obstacle(Obstacle.CHIPS_OFF)
            assertEquals(Obstacle.CHIPS_OFF, again.trouble!!.obstacle)
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
            val screen = ChipScreen(phone.desk, code)
            screen.near(slow)
            assertEquals(code, phone.scan(code).code)
            assertEquals(1, screen.asking)
            hold.countDown()
            phone.settle(screen)
            assertNull(screen.trouble)
            assertFalse(screen.waiting)
        }
    }

    @Test
    fun `an empty chip and another's are told apart`(): Unit = Shop().use { shop ->
        shop.phone().use { phone ->
            val scan = ScanScreen(phone.desk) {}
            scan.chip(ByteArray(0))
            assertEquals("This chip is empty.", scan.trouble!!.words)
            // NFC Forum, RTD URI 1.0: D1 01 len 55 04 = "https://" and what follows.
            scan.chip(byteArrayOf(0xD1.toByte(), 1, 12, 0x55, 4) + "example.org".toByteArray())
            assertTrue(scan.trouble!!.words.contains("https://example.org"), scan.trouble!!.words)
            scan.chip(byteArrayOf(1, 2, 3))
            assertTrue(scan.trouble!!.words.contains("cannot be understood"), scan.trouble!!.words)
        }
    }
}
