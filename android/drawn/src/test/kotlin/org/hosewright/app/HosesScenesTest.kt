package org.hosewright.app

import android.Manifest
import android.content.pm.PackageManager
import android.view.inputmethod.EditorInfo
import android.widget.EditText
import org.hosewright.companion.Screen
import org.hosewright.companion.say
import org.hosewright.core.FormOf
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.Shadows.shadowOf
import org.robolectric.util.ReflectionHelpers

/** Hoses in a list and what is done to one, in every look: kept as pictures, measured, and used. */
class HosesScenesTest : Scenes() {
    private fun hoses() = page(HosesActivity::class.java).get()

    private fun find(page: Page, text: String) {
        val field = page.window.decorView.findViewWithTag<EditText>("find")
        field.setText(text)
        field.onEditorAction(EditorInfo.IME_ACTION_DONE)
        settle()
    }

    @Test
    fun `hoses in a list`() {
        drawn("hoses") { hoses() }
        drawn("hoses-of-a-verdict") { hoses().also { touch(it, "retire ") } }
        drawn("hoses-found") { hoses().also { find(it, Hoses.SPARE) } }
        drawn("hoses-none") { hoses().also { find(it, "there is no such hose") } }
    }

    @Test
    fun `a hose of the list leads to its answer`() {
        val page = hoses()
        find(page, Hoses.SPARE.lowercase())
        touch(page, Hoses.SPARE)
        val asked = started(page)!!
        assertEquals(HoseActivity::class.java.name to Hoses.SPARE, asked.component!!.className to asked.getStringExtra(Page.CODE))
        // More of them, until there are no more.
        val all = hoses()
        val signed = { all.window.decorView.everything().count { it.isShown && it.tag is String && CODE.matches(it.tag as String) } }
        assertEquals(30, signed())
        touch(all, say.more)
        assertTrue("${signed()}", signed() > 30)
    }

    @Test
    fun `what is in stock and fits`() {
        drawn("stock") { page(StockActivity::class.java, Page.CODE to Hoses.FITTED).get() }
        val page = page(StockActivity::class.java, Page.CODE to Hoses.FITTED).get()
        touch(page, Hoses.SPARE)
        assertEquals(FormOf.Swap(Hoses.FITTED, Hoses.SPARE), started(page)!!.form())
        drawn("stock-none") { page(StockActivity::class.java, Page.CODE to Hoses.RETIRE).get() }
    }

    @Test
    fun `a set is made, and held`() {
        drawn("new-set") { form(FormOf.NewSet).get() }
        drawn("hold-set") { form(FormOf.Set("R2", "hold")).get() }
        drawn("edit-set") { form(FormOf.Set("R2", "edit")).get() }
    }

    @Test
    fun `where a hose goes, and what is done for good`() {
        drawn("place") { form(FormOf.Hose(Hoses.SPARE, "place")).get() }
        drawn("place-fitted") { form(FormOf.Hose(Hoses.FITTED, "place")).get() }
        drawn("hold") { form(FormOf.Hose(Hoses.SPARE, "hold")).get() }
        drawn("retire-asked") {
            form(FormOf.Hose(Hoses.SPARE, "retire")).get().also {
                val field = it.window.decorView.findViewWithTag<EditText>("why")
                field.requestFocus()
                field.setText("cut in half")
                touch(it, "Retire")
            }
        }
    }

    @Test
    fun `what was written is withdrawn from the history`() {
        app.beginAnew()
        counter("clean", Hoses.SPARE)
        val hose = page(HoseActivity::class.java, Page.CODE to Hoses.SPARE).get()
        touch(hose, "soaked, cleaned and dried")
        val form = page(FormActivity::class.java, started(hose)!!).get()
        assertTrue(words(form), words(form).contains("soaked, cleaned and dried"))
        drawn("withdraw") { page(FormActivity::class.java, form.intent).get() }
    }

    @Test
    fun `what is set, and what helps`() {
        drawn("settings") { form(FormOf.Settings).get() }
        drawn("help") { form(FormOf.Help).get() }
        val scan = page(ScanActivity::class.java).get()
        for ((label, of) in listOf(say.settings to FormOf.Settings, say.help to FormOf.Help)) {
            touch(scan, label)
            assertEquals(of, started(scan)!!.form())
        }
        touch(scan, say.hoses)
        assertEquals(HosesActivity::class.java.name, started(scan)!!.component!!.className)
    }

    @Test
    fun `a tag that shows itself says what to do`() {
        shadowOf(app.packageManager).setSystemFeature(PackageManager.FEATURE_CAMERA_ANY, true)
        shadowOf(app).grantPermissions(Manifest.permission.CAMERA)
        drawn("scan-hint") {
            page(ScanActivity::class.java).get().also { page ->
                val scan: Lazy<Screen> = ReflectionHelpers.getField(page, "scan\$delegate")
                scan.value.hinted(HINT)
                settle()
                assertTrue(words(page).contains(HINT))
            }
        }
    }

    private companion object {
        val CODE = Regex("[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]")

        /** The longest that there is. */
        const val HINT = "Hold still, or go back a little until it is sharp."
    }
}
