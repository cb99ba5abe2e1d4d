package org.hosewright.app

import android.Manifest
import android.app.Dialog
import android.content.pm.PackageManager
import org.hosewright.companion.Chip
import org.hosewright.companion.ChipScreen
import org.hosewright.core.Inspection
import org.hosewright.core.Verdict
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.Shadows.shadowOf
import org.robolectric.shadows.ShadowDialog
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
    }

    private fun allWell() = assertTrue(complaints.joinToString("\n"), complaints.isEmpty())

    @Test
    fun scan() {
        drawn("scan-refused") { page(ScanActivity::class.java).get() }
        shadowOf(app.packageManager).setSystemFeature(PackageManager.FEATURE_CAMERA_ANY, true)
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
        drawn("hose-unknown") { hose(Hoses.STRANGER) }
        drawn("hose-why") { hose(Hoses.RETIRE).also { touch(it, "Swap it") } }
        allWell()
    }

    private fun hose(code: String) = page(HoseActivity::class.java, Page.CODE to code).get()

    @Test
    fun inspection() {
        for (kind in Inspection.entries) {
            drawn("inspection-${kind.name.lowercase()}") {
                page(InspectionActivity::class.java, Page.CODE to Hoses.WATCH, Page.KIND to kind.name).get()
            }
        }
        drawn("inspection-begun") {
            page(InspectionActivity::class.java, Page.CODE to Hoses.HOLD, Page.KIND to Inspection.QUICK.name).get().also {
                if (!words(it).contains(app.getString(R.string.looked_at) + "\n")) touch(it, app.getString(R.string.nothing_found))
                touch(it, app.getString(R.string.write_it_down))
            }
        }
        allWell()
    }

    @Test
    fun swap() {
        drawn("swap") { swapping() }
        touch(swapping(), "Done")
        drawn("swap-scan") { swapping() }
        drawn("swap-refused") { page(SwapActivity::class.java, Page.CODE to Hoses.FITTED, Page.OTHER to Hoses.HOLD).get() }
        allWell()
    }

    private fun swapping() = page(SwapActivity::class.java, Page.CODE to Hoses.FITTED, Page.OTHER to Hoses.SPARE).get()

    @Test
    fun rental() {
        drawn("sets") { page(SetsActivity::class.java).get() }
        drawn("set") { page(SetActivity::class.java, Page.SET to "R2").get() }
        drawn("hand-out") { page(HandOutActivity::class.java, Page.SET to "R3").get() }
        drawn("hand-out-free") { page(HandOutActivity::class.java, Page.SET to "R2").get() }
        drawn("due") { page(DueActivity::class.java).get() }
        allWell()
    }

    @Test
    fun chips() {
        drawn("chip-none") { chip() }
        allWell()
    }

    private fun chip() = page(ChipActivity::class.java, Page.CODE to Hoses.READY).get()

    @Test
    fun meeting() {
        drawn("meeting") { page(MeetingActivity::class.java).get() }
        allWell()
    }
}
