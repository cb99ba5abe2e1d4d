package org.hosewright.app

import android.Manifest
import android.app.Activity
import android.app.Dialog
import android.content.Intent
import android.content.pm.PackageManager
import android.nfc.NfcAdapter
import android.view.inputmethod.EditorInfo
import android.widget.EditText
import android.widget.ImageView
import java.awt.image.BufferedImage
import java.io.File
import javax.imageio.ImageIO
import org.hosewright.companion.Chip
import org.hosewright.companion.Screen
import org.hosewright.companion.say
import org.hosewright.core.FormOf
import org.hosewright.core.Verdict
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.Shadows.shadowOf
import org.robolectric.shadows.ShadowDialog
import org.robolectric.shadows.ShadowNfcAdapter
import org.robolectric.util.ReflectionHelpers

/** Every page in every look: kept as a picture, and measured. */
class ScenesTest : Scenes() {
    @Test
    fun scan() {
        drawn("scan-no-camera") { page(ScanActivity::class.java).get() }
        shadowOf(app.packageManager).setSystemFeature(PackageManager.FEATURE_CAMERA_ANY, true)
        drawn("scan-refused") {
            page(ScanActivity::class.java).get().also {
                val asked = shadowOf(it).lastRequestedPermission
                it.onRequestPermissionsResult(asked.requestCode, asked.requestedPermissions, intArrayOf(PackageManager.PERMISSION_DENIED))
                settle()
            }
        }
        shadowOf(app).grantPermissions(Manifest.permission.CAMERA)
        drawn("scan") { page(ScanActivity::class.java).get() }
        drawn("scan-near") {
            page(ScanActivity::class.java).get().also {
                type(it, say.codeOnTag, "1CSH-FY3A-172S-3")
                touch(it, say.answer)
            }
        }
    }

    @Test
    fun hose() {
        drawn("hose-ready", Verdict.READY) { hose(Hoses.READY) }
        drawn("hose-watch", Verdict.WATCH) { hose(Hoses.WATCH) }
        drawn("hose-hold", Verdict.HOLD) { hose(Hoses.HOLD) }
        drawn("hose-retire", Verdict.RETIRE) { hose(Hoses.RETIRE) }
        drawn("hose-refused") { hose("nonsense") }
    }

    @Test
    fun `a hose that is not on record`() {
        app.store().delete()
        drawn("hose-not-on-record") { hose(Counter.tag()) }
    }

    @Test
    fun `a hose with a photo`() {
        app.beginAnew()
        val photo = File(app.cacheDir, "cut.png")
        val image = BufferedImage(800, 600, BufferedImage.TYPE_INT_RGB)
        for (y in 0 until 600) for (x in 0 until 800) image.setRGB(x, y, x * 255 / 800 shl 16 or (y * 255 / 600 shl 8) or 0x40)
        ImageIO.write(image, "png", photo)
        counter("inspect", Hoses.HOLD, "--kind", "quick", "--finding", "run:cut:cover", "--photo", "run=${photo.path}")
        drawn("hose-photo") {
            hose(Hoses.HOLD).also { page ->
                val shown = page.window.decorView.everything().filterIsInstance<ImageView>().single()
                assertTrue(shown.says(), shown.says().contains(TODAY) && shown.says().contains("bench"))
                // What is drawn is the photo: wider than high, and as wide as the column.
                assertEquals(shown.width * 600 / 800, shown.height)
            }
        }
    }

    @Test
    fun `a record that is empty, and a hose's form`() {
        drawn("form-on-record") { form(FormOf.Hose(Hoses.READY, "details")).get() }
        app.beginAnew()
        app.store().delete()
        drawn("scan-greeting") { page(ScanActivity::class.java).get() }
        drawn("form-empty") { form() }
        form().let {
            touch(it, "Breathing")
            touch(it, "Braided")
            typeInto(it, "length", "22")
        }
        drawn("form-wrong") { form() }
        drawn("form-refused") { form().also { touch(it, "Register") } }
        drawn("form-refused-tag") { form(FormOf.Register("nonsense")).get() }
        val done = form()
        typeInto(done, "length", "22 in")
        touch(done, "Register")
        val shown = started(done)!!
        assertTrue(done.isFinishing)
        measured("hose-just-registered", page(HoseActivity::class.java, shown).get())
    }

    private fun form() = form(FormOf.Register(null)).get()

    /** Types into the field of that name, and goes on. */
    private fun typeInto(page: Page, field: String, text: String) {
        val view = page.window.decorView.findViewWithTag<EditText>(field)
        view.requestFocus()
        view.setText(text)
        view.onEditorAction(EditorInfo.IME_ACTION_DONE)
        settle()
    }

    @Test
    fun salvage() {
        app.beginAnew()
        // The head of SQLite's file, without which nothing opens it.
        app.store().writeBytes(app.store().readBytes().apply { fill(0x5A, 0, 100) })
        drawn("scan-damaged") {
            page(ScanActivity::class.java).get().also {
                type(it, say.codeOnTag, Hoses.READY)
                touch(it, say.answer)
            }
        }
        drawn("salvage") { page(SalvageActivity::class.java).get() }
        val page = page(SalvageActivity::class.java).get()
        touch(page, say.salvage)
        until { words(page).contains(say.finished) }
        measured("salvage-done", page)
        measured("meeting-set-aside", page(MeetingActivity::class.java).get())
    }

    private fun hose(code: String) = page(HoseActivity::class.java, Page.CODE to code).get()

    @Test
    fun inspection() {
        drawn("inspection-quick") { inspection(Hoses.WATCH, "quick-look") }
        drawn("inspection-full") { inspection(Hoses.HOLD, "full-inspection") }
        drawn("inspection-leak-refused") {
            inspection(Hoses.FITTED, "leak-test").also { touch(it, "Save") }
        }
        inspection(Hoses.SPARE, "full-inspection").let { touch(it, "Nothing found") }
        drawn("inspection-place") { inspection(Hoses.SPARE, "full-inspection") }
        drawn("inspection-something") { inspection(Hoses.SPARE, "full-inspection").also { touch(it, "Something…") } }
        drawn("inspection-all-places") {
            inspection(Hoses.SPARE, "full-inspection").also { page ->
                while ("Nothing found" in words(page).lines() && "Save" !in words(page).lines()) touch(page, "Nothing found")
                // A low screen has nothing standing still under the page: more comes after the button.
                val lines = words(page).lines()
                assertTrue(words(page), Hoses.SPARE in lines[lines.lastIndexOf("Save") - 1])
            }
        }
        drawn("reseal") { inspection(Hoses.HOLD, "reseal") }
        named(null)
        drawn("who-writes") { inspection(Hoses.HOLD, "clean").also { touch(it, "Save") } }
    }

    private fun inspection(code: String, name: String) = form(FormOf.Hose(code, name)).get()

    @Test
    fun swap() {
        drawn("swap") { swapping() }
        drawn("swap-refused") { form(FormOf.Swap(Hoses.FITTED, Hoses.HOLD)).get() }
        repeat(2) { answerStep(swapping()) }
        drawn("swap-scan") { swapping() }
        drawn("swap-give-up") { form(FormOf.GiveUp(Hoses.FITTED, Hoses.SPARE)).get() }
        // Through every step, by the usual answer of each.
        val page = swapping()
        for (step in 1..20) {
            if ("Passed: nothing leaked" in words(page).lines()) measured("swap-leak-test", page)
            answerStep(page)
            if (page.isFinishing) break
        }
        assertTrue(page.isFinishing)
        measured("swap-finished", page(HoseActivity::class.java, started(page)!!).get())
    }

    private fun swapping() = form(FormOf.Swap(Hoses.FITTED, Hoses.SPARE)).get()

    @Test
    fun rental() {
        drawn("sets") { page(SetsActivity::class.java).get() }
        drawn("set") { page(SetActivity::class.java, Page.SET to "R2").get() }
        drawn("due") { page(DueActivity::class.java).get() }
        drawn("hand-out-stopped") { handOut("R3") }
        val all = Regex("[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]").findAll(counter("list", "--set", "R2")).map { it.value }.distinct().toList()
        drawn("ticks") { ticking() }
        // The camera stays open from the first hose to the last.
        val camera = ticking()
        for (code in listOf(Hoses.READY) + all.drop(1)) scanned(camera, code)
        drawn("ticks-begun") { ticking() }
        scanned(camera, all.first())
        assertTrue(camera.isFinishing)
        drawn("hand-out-foreign") { handOut("R2") }
        handOut("R2").let { touch(it, "${Hoses.READY}:") }
        drawn("hand-out-ready") { handOut("R2") }
        val out = handOut("R2")
        type(out, "Ticket", "4711")
        touch(out, "Hand out")
        measured("hand-out-done", out)
        drawn("return") { back().also { touch(it, "Report a finding") } }
        back().let {
            touch(it, "Report a finding")
            touch(it, "a cut down to the reinforcement")
        }
        drawn("return-seen") { back() }
        val back = back()
        allHere(back)
        touch(back, "Nothing found on")
        measured("return-done", back)
    }

    private fun handOut(set: String) = form(FormOf.HandOut(set)).get()

    private fun back() = form(FormOf.TakeBack("R2")).get()

    private fun ticking() = page(ScanActivity::class.java, app.ticks(FormOf.HandOut("R2"))).get()

    private fun scanned(page: Page, code: String) {
        type(page, say.codeOnTag, code)
        touch(page, say.answer)
    }

    @Test
    fun chips() {
        drawn("chip-none") { chip() }
    }

    @Test
    fun `chips that can be written`() {
        ShadowNfcAdapter.setNfcHardwareExists(true)
        shadowOf(app.packageManager).setSystemFeature(PackageManager.FEATURE_NFC, true)
        val reader = shadowOf(NfcAdapter.getDefaultAdapter(app))
        reader.setEnabled(false)
        drawn("chip-off") { chip() }
        reader.setEnabled(true)
        drawn("chip-waiting") { chip() }
        drawn("chip-written") { chip().also { hold(it, Blank(ByteArray(0))) } }
        // NFC Forum, RTD URI 1.0: D1 01 len 55 04 = "https://" and what follows.
        val website = byteArrayOf(0xD1.toByte(), 1, 12, 0x55, 4) + "example.org".toByteArray()
        drawn("chip-overwrite") { chip().also { hold(it, Blank(website)) } }
    }

    private fun chip() = page(ChipActivity::class.java, Page.CODE to Hoses.READY).get()

    /** A chip comes near, past the radio that a JVM does not have. */
    private fun hold(page: ChipActivity, chip: Chip) {
        val screen: Lazy<Screen> = ReflectionHelpers.getField(page, "screen\$delegate")
        screen.value.near(chip)
        settle()
    }

    private class Blank(private var held: ByteArray) : Chip {
        override val room = 492

        override fun read() = held

        override fun write(message: ByteArray) {
            held = message
        }
    }

    @Test
    fun meeting() {
        drawn("meeting") { page(MeetingActivity::class.java).get() }
        drawn("meeting-shared") {
            page(MeetingActivity::class.java).get().also { touch(it, say.shareRecord) }
        }
    }
}
