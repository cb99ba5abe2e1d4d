package org.hosewright.app

import org.hosewright.companion.say
import org.hosewright.core.FormOf
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.annotation.Config

/** The oldest Android that the app is for: what it calls is there, and it looks the same. */
@Config(sdk = [26])
class OldestTest : Handset() {
    @Test
    fun `every page opens and is well`() {
        val complaints = mutableListOf<String>()
        for (look in listOf(Look(), Look(dark = true, scale = 2f))) {
            look(look)
            val pages = listOf(
                page(ScanActivity::class.java),
                page(HoseActivity::class.java, Page.CODE to Hoses.HOLD),
                form(FormOf.Hose(Hoses.HOLD, "quick-look")),
                form(FormOf.Register(null)),
                page(SalvageActivity::class.java),
                form(FormOf.Swap(Hoses.FITTED, Hoses.SPARE)),
                page(SetsActivity::class.java),
                page(SetActivity::class.java, Page.SET to "R2"),
                form(FormOf.HandOut("R2")),
                page(DueActivity::class.java),
                page(ChipActivity::class.java, Page.CODE to Hoses.READY),
                page(MeetingActivity::class.java),
            )
            for (page in pages) {
                val drawing = Drawing(page.get().window.decorView)
                val name = "oldest-${page.get().javaClass.simpleName}-$look"
                drawing.keep(name)
                complaints += drawing.complaints().map { "$name: $it" }
            }
        }
        assertTrue(complaints.joinToString("\n"), complaints.isEmpty())
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
