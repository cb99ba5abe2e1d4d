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
import org.hosewright.companion.ChipScreen
import org.hosewright.core.Inspection
import org.hosewright.core.Verdict
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.Shadows.shadowOf
import org.robolectric.shadows.ShadowDialog
import org.robolectric.shadows.ShadowNfcAdapter
import org.robolectric.util.ReflectionHelpers

/** Every page in every look: kept as a picture, and measured. */
class ScenesTest : Handset() {
    private val complaints = mutableListOf<String>()

    /** Draws a scene in every look; what is wrong anywhere is told at once. */
    private fun drawn(name: String, verdict: Verdict? = null, scene: () -> Page) {
        for (look in Look.ALL) {
            look(look)
            val page = scene()
            val dialog = ShadowDialog.getLatestDialog()?.takeIf(Dialog::isShowing)
            val drawing = Drawing((dialog?.window ?: page.window).decorView)
            drawing.keep("$name-$look", all = !look.wide && !look.dark)
            complaints += drawing.complaints().map { "$name-$look: $it" }
            if (verdict != null && drawing.pixels(Drawing.colour(verdict)) < 2_000) complaints += "$name-$look: the sign is not seen"
            dialog?.dismiss()
        }
        look(Look())
    }

    /** What happens once only: measured in the look that it happened in. */
    private fun measured(name: String, page: Page) {
        val drawing = Drawing(page.window.decorView)
        drawing.keep(name, all = true)
        complaints += drawing.complaints().map { "$name: $it" }
    }

    private fun allWell() = assertTrue(complaints.joinToString("\n"), complaints.isEmpty())

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
                type(it, R.string.code_on_tag, "1CSH-FY3A-172S-3")
                touch(it, app.getString(R.string.answer))
            }
        }
        allWell()
    }

    @Test
    fun hose() {
        drawn("hose-ready", Verdict.READY) { hose(Hoses.READY) }
        drawn("hose-watch", Verdict.WATCH) { hose(Hoses.WATCH) }
        drawn("hose-hold", Verdict.HOLD) { hose(Hoses.HOLD) }
        drawn("hose-retire", Verdict.RETIRE) { hose(Hoses.RETIRE) }
        drawn("hose-refused") { hose("nonsense") }
        allWell()
    }

    @Test
    fun `a hose that is not on record`() {
        app.store().delete()
        drawn("hose-not-on-record") { hose(Counter.tag()) }
        allWell()
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
        allWell()
    }

    @Test
    fun `a record that is empty, and a hose's form`() {
        drawn("form-on-record") { page(FormActivity::class.java, Page.CODE to Hoses.READY).get() }
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
        drawn("form-refused-tag") { page(FormActivity::class.java, FormActivity.TAG to "nonsense").get() }
        val done = form()
        typeInto(done, "length", "22 in")
        touch(done, "Register")
        val shown = started(done)!!
        assertTrue(done.isFinishing)
        measured("hose-just-registered", page(HoseActivity::class.java, shown).get())
        allWell()
    }

    private fun form() = page(FormActivity::class.java).get()

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
                type(it, R.string.code_on_tag, Hoses.READY)
                touch(it, app.getString(R.string.answer))
            }
        }
        drawn("salvage") { page(SalvageActivity::class.java).get() }
        val page = page(SalvageActivity::class.java).get()
        touch(page, app.getString(R.string.salvage))
        until { words(page).contains(app.getString(R.string.finished)) }
        measured("salvage-done", page)
        measured("meeting-set-aside", page(MeetingActivity::class.java).get())
        allWell()
    }

    private fun hose(code: String) = page(HoseActivity::class.java, Page.CODE to code).get()

    @Test
    fun inspection() {
        drawn("inspection-quick") { inspection(Hoses.WATCH, Inspection.QUICK) }
        drawn("inspection-full") { inspection(Hoses.HOLD, Inspection.FULL) }
        drawn("inspection-leak-refused") {
            inspection(Hoses.FITTED, Inspection.LEAK_TEST).also { touch(it, "Save") }
        }
        inspection(Hoses.HOLD, Inspection.FULL).let { touch(it, "Looked at, nothing found") }
        drawn("inspection-begun") { inspection(Hoses.HOLD, Inspection.FULL) }
        allWell()
    }

    private fun inspection(code: String, kind: Inspection) =
        page(FormActivity::class.java, Page.CODE to code, Page.KIND to kind.name).get()

    @Test
    fun swap() {
        drawn("swap") { swapping() }
        drawn("swap-port") { swapping().also { touch(it, app.getString(R.string.other_port)) } }
        drawn("swap-why") { swapping().also { touch(it, app.getString(R.string.give_up)) } }
        drawn("swap-refused") { page(SwapActivity::class.java, Page.CODE to Hoses.FITTED, Page.OTHER to Hoses.HOLD).get() }
        repeat(2) { swapping().let { touch(it, "Done") } }
        drawn("swap-scan") { swapping() }
        // Through every step, by the usual answer of each.
        val page = swapping()
        for (step in 1..20) {
            val lines = words(page).lines()
            if (app.getString(R.string.finished) in lines) break
            val (todo, usual) = lines[lines.indexOfFirst { it.startsWith("Step ") } + 1] to lines.last()
            touch(page, usual, "200 bar")
            if (usual != app.getString(R.string.scan)) continue
            val code = if (todo.startsWith("Scan the new")) Hoses.SPARE else Hoses.FITTED
            shadowOf(page).receiveResult(started(page)!!, Activity.RESULT_OK, Intent().putExtra(Page.CODE, code))
            settle()
        }
        assertTrue(words(page), app.getString(R.string.finished) in words(page).lines())
        measured("swap-finished", page)
        allWell()
    }

    private fun swapping() = page(SwapActivity::class.java, Page.CODE to Hoses.FITTED, Page.OTHER to Hoses.SPARE).get()

    @Test
    fun rental() {
        drawn("sets") { page(SetsActivity::class.java).get() }
        drawn("set") { page(SetActivity::class.java, Page.SET to "R2").get() }
        drawn("due") { page(DueActivity::class.java).get() }
        drawn("hand-out-stopped") { handOut("R3") }
        val all = Regex("[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]").findAll(counter("list", "--set", "R2")).map { it.value }.distinct().toList()
        for (code in all + Hoses.READY) scanned(handOut("R2"), code)
        drawn("hand-out-foreign") { handOut("R2") }
        handOut("R2").let { touch(it, app.getString(R.string.unscan, Hoses.READY)) }
        drawn("hand-out-ready") { handOut("R2") }
        val out = handOut("R2")
        type(out, R.string.ticket, "4711")
        touch(out, app.getString(R.string.hand_out))
        measured("hand-out-done", out)
        drawn("return") { back().also { touch(it, "Report a finding") } }
        back().let {
            touch(it, "Report a finding")
            touch(it, "a cut down to the reinforcement")
        }
        drawn("return-seen") { back() }
        val back = back()
        allHere(back)
        touch(back, app.getString(R.string.take_back))
        measured("return-done", back)
        allWell()
    }

    private fun handOut(set: String) = page(HandOutActivity::class.java, Page.SET to set).get()

    private fun back() = page(FormActivity::class.java, Page.SET to "R2").get()

    private fun scanned(page: HandOutActivity, code: String) {
        touch(page, app.getString(R.string.scan))
        shadowOf(page).receiveResult(started(page)!!, Activity.RESULT_OK, Intent().putExtra(Page.CODE, code))
        settle()
    }

    @Test
    fun chips() {
        drawn("chip-none") { chip() }
        allWell()
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
        allWell()
    }

    private fun chip() = page(ChipActivity::class.java, Page.CODE to Hoses.READY).get()

    /** A chip comes near, past the radio that a JVM does not have. */
    private fun hold(page: ChipActivity, chip: Chip) {
        val screen: Lazy<ChipScreen> = ReflectionHelpers.getField(page, "screen\$delegate")
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
            page(MeetingActivity::class.java).get().also { touch(it, app.getString(R.string.share_record)) }
        }
        allWell()
    }
}
