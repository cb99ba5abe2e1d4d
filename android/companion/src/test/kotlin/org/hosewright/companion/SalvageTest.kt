package org.hosewright.companion

import java.nio.file.Files
import org.hosewright.core.FormOf
import org.hosewright.core.Obstacle
import org.hosewright.core.Place
import org.hosewright.core.WayOn
import org.hosewright.core.setAsideFiles
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertNotNull
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test

class SalvageTest {
    @Test
    fun `a damaged record is said, saved and set aside, and the phone goes on`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.done("inspect $code --kind full --finding end-a:salt")
        // The head of SQLite's file, without which nothing opens it.
        val bytes = Files.readAllBytes(shop.store)
        bytes.fill(0x5A, 0, 100)
        Files.write(shop.store, bytes)
        shop.phone().use { phone ->
            // The first page says it, before anything is scanned.
            val welcome = WelcomeScreen(phone.desk)
            welcome.load()
            phone.settle(welcome)
            assertEquals(Obstacle.STORE_DAMAGED, welcome.trouble!!.obstacle)
            assertEquals(listOf(WayOn.TRY_AGAIN, WayOn.SHARE_COPY, WayOn.SALVAGE), welcome.trouble!!.waysOn.map { it.way })

            val screen = SalvageScreen(phone.desk)
            assertTrue(screen.lead.contains("set aside"))
            val told = mutableListOf<String?>()
            screen.onChange = { told.add(screen.progress) }
            screen.begin()
            phone.settle(screen)
            assertNull(screen.trouble)
            assertEquals(2uL, screen.shown!!.saved)
            assertTrue(screen.shown!!.words.none { "--" in it || "/" in it }, screen.shown!!.words.toString())
            assertTrue(told.any { it != null && it.contains("pages of the damaged file") }, told.toString())
            // The same phone goes on with the new record.
            welcome.load()
            phone.settle(welcome)
            assertNull(welcome.trouble)
            assertTrue(phone.scan(code).reasons.any { it.words.contains("salt") })
            assertNull(phone.submit(FormOf.Hose(code, "clean")).trouble)

            val meeting = MeetingScreen(phone.desk)
            meeting.load()
            phone.next()
            assertEquals(setAsideFiles(shop.place()), meeting.setAside)
            assertTrue(Files.readAllBytes(java.nio.file.Path.of(meeting.setAside.first())).contentEquals(bytes))
        }
    }

    @Test
    fun `damage that shows while the record is open is saved too`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            assertEquals(code, phone.scan(code).code)
            val screen = SalvageScreen(phone.desk)
            screen.begin()
            phone.settle(screen)
            assertNotNull(screen.shown)
            assertEquals(code, phone.scan(code).code)
        }
    }

    @Test
    fun `where there is no file nothing is saved or set aside`(): Unit = Shop().use { shop ->
        shop.phone { throw AssertionError() }.use { phone ->
            val screen = SalvageScreen(phone.desk)
            screen.begin()
            phone.settle(screen)
            assertNotNull(screen.trouble)
            assertEquals(emptyList<String>(), setAsideFiles(Place(shop.store.toString(), "")))
        }
    }
}
