package org.hosewright.app

import org.hosewright.companion.say
import org.hosewright.core.FilmOf
import org.hosewright.core.FormOf
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.android.controller.ActivityController
import org.robolectric.annotation.Config

/** The oldest Android that the app is for: what it calls is there, and it looks the same. */
@Config(sdk = [26])
class OldestTest : Scenes() {
    @Test
    fun `every page opens and is well`() {
        val looks = listOf(Look(), Look(dark = true, scale = 2f))
        fun opens(name: String, scene: () -> ActivityController<out Page>) = drawn("oldest-$name", looks = looks) { scene().get() }
        opens("scan") { page(ScanActivity::class.java) }
        opens("hose") { page(HoseActivity::class.java, Page.CODE to Hoses.HOLD) }
        opens("quick-look") { form(FormOf.Hose(Hoses.HOLD, "quick-look")) }
        opens("register") { form(FormOf.Register(null)) }
        opens("salvage") { page(SalvageActivity::class.java) }
        opens("swap") { form(FormOf.Swap(Hoses.FITTED, Hoses.SPARE)) }
        opens("sets") { page(SetsActivity::class.java) }
        opens("set") { page(SetActivity::class.java, Page.SET to "R2") }
        opens("hand-out") { form(FormOf.HandOut("R2")) }
        opens("due") { page(DueActivity::class.java) }
        opens("chip") { page(ChipActivity::class.java, Page.CODE to Hoses.READY) }
        opens("meeting") { page(MeetingActivity::class.java) }
        opens("show") { page(ShowActivity::class.java, app.film(FilmOf.Everything)) }
        opens("watch") { page(WatchActivity::class.java) }
    }

    @Test
    fun `a code leads to its answer, and a touch is kept`() {
        val scan = page(ScanActivity::class.java).get()
        type(scan, say.codeOnTag, Hoses.HOLD)
        touch(scan, say.answer)
        assertEquals(HoseActivity::class.java.name, started(scan)!!.component!!.className)
        val form = form(FormOf.Hose(Hoses.HOLD, "quick-look"))
        touch(form.get(), "a cut in the cover")
        val again = begunAnew(form).get()
        assertTrue((named(again, "a cut in the cover") as android.widget.CheckBox).isChecked)
    }
}
