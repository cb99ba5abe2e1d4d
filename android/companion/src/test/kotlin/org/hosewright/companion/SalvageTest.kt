package org.hosewright.companion

import java.nio.file.Files
import org.hosewright.core.FormOf
import org.hosewright.core.Obstacle
import org.hosewright.core.PageOf
import org.hosewright.core.Place
import org.hosewright.core.Touch
import org.hosewright.core.Wanted
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
            val first = phone.page(PageOf.Scan(Wanted.ANSWER)).shown.trouble!!
            assertEquals(Obstacle.STORE_DAMAGED, first.obstacle)
            assertEquals(listOf(WayOn.TRY_AGAIN, WayOn.SHARE_COPY, WayOn.SALVAGE), first.waysOn.map { it.way })

            val screen = phone.page(PageOf.Salvage)
            assertTrue(screen.shown.said.single().contains("set aside"))
            val told = mutableListOf<String?>()
            screen.onChange = { told.add(screen.progress) }
            screen.touch(Touch.Begin)
            phone.settle(screen)
            assertNull(screen.shown.trouble)
            assertEquals(2uL, screen.shown.salvaged!!.saved)
            assertTrue(screen.shown.said.none { "--" in it || "/" in it }, screen.shown.said.toString())
            assertTrue(told.any { it != null && it.contains("pages of the damaged file") }, told.toString())
            // The same phone goes on with the new record.
            assertNull(phone.page(PageOf.Scan(Wanted.ANSWER)).shown.trouble)
            assertTrue(phone.scan(code).reasons.any { it.words.contains("salt") })
            assertNull(phone.submit(FormOf.Hose(code, "clean")).trouble)

            val aside = phone.page(PageOf.Meeting).shown.setAside
            assertEquals(setAsideFiles(shop.place()), aside)
            assertTrue(Files.readAllBytes(java.nio.file.Path.of(aside.first())).contentEquals(bytes))
        }
    }

    @Test
    fun `damage that shows while the record is open is saved too`(): Unit = Shop().use { shop ->
        val code = shop.hose()
        shop.phone().use { phone ->
            assertEquals(code, phone.scan(code).code)
            assertNotNull(phone.page(PageOf.Salvage, Touch.Begin).shown.salvaged)
            assertEquals(code, phone.scan(code).code)
        }
    }

    @Test
    fun `where there is no file nothing is saved or set aside`(): Unit = Shop().use { shop ->
        shop.phone().use { phone ->
            assertNotNull(phone.page(PageOf.Salvage, Touch.Begin).shown.trouble)
            assertEquals(emptyList<String>(), setAsideFiles(Place(shop.store.toString(), "")))
        }
    }
}
