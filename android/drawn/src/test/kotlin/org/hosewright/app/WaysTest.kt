package org.hosewright.app

import android.Manifest
import android.app.Activity
import android.content.Intent
import android.content.pm.PackageManager
import android.net.Uri
import android.nfc.NfcAdapter
import android.provider.Settings
import android.speech.tts.TextToSpeech
import android.view.View
import android.view.accessibility.AccessibilityEvent
import android.view.accessibility.AccessibilityManager
import android.widget.EditText
import java.io.File
import org.hosewright.companion.say
import org.hosewright.core.FormOf
import org.hosewright.core.Verdict
import org.junit.Assert.assertEquals
import org.junit.Assert.assertNull
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.Shadows.shadowOf
import org.robolectric.shadows.ShadowNfcAdapter
import org.robolectric.shadows.ShadowTextToSpeech

/** From page to page, and round obstacles. */
class WaysTest : Handset() {
    private fun camera() = shadowOf(app.packageManager).setSystemFeature(PackageManager.FEATURE_CAMERA_ANY, true)

    private fun answerTheSystem(page: ScanActivity, given: Boolean) {
        val asked = shadowOf(page).lastRequestedPermission
        assertEquals(listOf(Manifest.permission.CAMERA), asked.requestedPermissions.toList())
        if (given) shadowOf(app).grantPermissions(Manifest.permission.CAMERA)
        val said = if (given) PackageManager.PERMISSION_GRANTED else PackageManager.PERMISSION_DENIED
        page.onRequestPermissionsResult(asked.requestCode, asked.requestedPermissions, intArrayOf(said))
        settle()
    }

    @Test
    fun `a typed code leads to the answer, and back`() {
        val scan = page(ScanActivity::class.java).get()
        type(scan, say.codeOnTag, Hoses.HOLD.lowercase().replace("-", " "))
        touch(scan, say.answer)
        val asked = started(scan)!!
        assertEquals(HoseActivity::class.java.name, asked.component!!.className)
        val hose = page(HoseActivity::class.java, asked).get()
        val verdict = hose.window.decorView.everything().first { it.tag == "verdict" }
        assertTrue(verdict.says(), verdict.says().startsWith("hold. Not to be dived"))
        @Suppress("DEPRECATION") // The other form needs API 33.
        hose.onBackPressed()
        assertTrue(hose.isFinishing)
    }

    @Test
    fun `a refused camera leaves words and ways on`() {
        camera()
        val scan = page(ScanActivity::class.java).get()
        shadowOf(app.packageManager).setShouldShowRequestPermissionRationale(Manifest.permission.CAMERA, true)
        answerTheSystem(scan, given = false)
        assertTrue(words(scan), words(scan).contains("Without the camera no tag can be scanned."))
        touch(scan, "Type the code")
        assertTrue(scan.window.currentFocus is EditText)
        touch(scan, "Ask me again")
        shadowOf(app.packageManager).setShouldShowRequestPermissionRationale(Manifest.permission.CAMERA, false)
        answerTheSystem(scan, given = false)
        assertTrue(words(scan), words(scan).contains("no longer asks"))
        touch(scan, "Open this app's settings")
        assertEquals(Settings.ACTION_APPLICATION_DETAILS_SETTINGS, started(scan)!!.action)
        assertTrue(scan.window.decorView.everything().none { it.isShown && it.says() == say.cameraPicture })
    }

    @Test
    fun `a camera that is allowed takes the words away`() {
        camera()
        val scan = page(ScanActivity::class.java).get()
        answerTheSystem(scan, given = true)
        assertTrue(words(scan), words(scan).contains(say.cameraPicture))
    }

    @Test
    fun `NFC that is missing is said`() {
        ShadowNfcAdapter.setNfcHardwareExists(false)
        val none = page(ChipActivity::class.java, Page.CODE to Hoses.READY).get()
        assertTrue(words(none), words(none).contains("This phone cannot read or write chips."))
    }

    @Test
    fun `NFC that is off leaves words and a way on`() {
        chips(on = false)
        val off = page(ChipActivity::class.java, Page.CODE to Hoses.READY).get()
        assertTrue(words(off), words(off).contains("NFC is switched off"))
        touch(off, "Open the NFC settings")
        assertEquals(Settings.ACTION_NFC_SETTINGS, started(off)!!.action)
        chips(on = true)
        val on = page(ChipActivity::class.java, Page.CODE to Hoses.READY).get()
        assertTrue(words(on), words(on).contains(say.holdChip))
    }

    private fun chips(on: Boolean) {
        ShadowNfcAdapter.setNfcHardwareExists(true)
        shadowOf(app.packageManager).setSystemFeature(PackageManager.FEATURE_NFC, true)
        shadowOf(NfcAdapter.getDefaultAdapter(app)).setEnabled(on)
    }

    @Test
    fun `a bundle is shared, and opened where somebody sent it`() {
        val meeting = page(MeetingActivity::class.java).get()
        touch(meeting, say.shareRecord)
        val chooser = started(meeting)!!
        assertEquals(Intent.ACTION_CHOOSER, chooser.action)
        @Suppress("DEPRECATION") // The typed form needs API 33.
        val send = chooser.getParcelableExtra<Intent>(Intent.EXTRA_INTENT)!!
        assertEquals(Intent.ACTION_SEND, send.action)
        @Suppress("DEPRECATION") // The typed form needs API 33.
        val uri = send.getParcelableExtra<Uri>(Intent.EXTRA_STREAM)!!
        assertEquals("content", uri.scheme)
        assertTrue(send.flags and Intent.FLAG_GRANT_READ_URI_PERMISSION != 0)
        // Nothing is sent a second time by a page that is rebuilt.
        touch(meeting, say.receiveRecord)
        assertEquals(Intent.ACTION_OPEN_DOCUMENT, started(meeting)!!.action)
        assertNull(started(meeting))

        val bundle = File(SharedFiles.folder(app), "phone.hwbundle")
        assertTrue(bundle.length() > 1000)
        val sent = Uri.parse("content://somewhere.else/1")
        shadowOf(app.contentResolver).registerInputStreamSupplier(sent) { bundle.inputStream() }
        for (intent in listOf(
            Intent(Intent.ACTION_VIEW).setDataAndType(sent, "application/octet-stream"),
            Intent(Intent.ACTION_SEND).setType("application/octet-stream").putExtra(Intent.EXTRA_STREAM, sent),
        )) {
            val opened = page(MeetingActivity::class.java, intent.setClass(app, MeetingActivity::class.java)).get()
            // Whose it is is said first, and nothing of it is on record before a yes.
            until { words(opened).contains(say.takeIn) }
            Drawing(opened.window.decorView).keep("meeting-asked")
            assertTrue(words(opened), words(opened).contains("record of another device"))
            touch(opened, say.takeIn)
            until { words(opened).contains("already") }
        }
    }

    @Test
    fun `what is no bundle, and what cannot be fetched, is refused in words`() {
        val note = Uri.parse("content://somewhere.else/2")
        shadowOf(app.contentResolver).registerInputStreamSupplier(note) { "a note".byteInputStream() }
        val gone = Uri.parse("content://somewhere.else/3")
        shadowOf(app.contentResolver).registerInputStreamSupplier(gone) { throw java.io.FileNotFoundException() }
        for (uri in listOf(note, gone)) {
            val intent = Intent(Intent.ACTION_VIEW).setDataAndType(uri, "application/octet-stream")
            val opened = page(MeetingActivity::class.java, intent.setClass(app, MeetingActivity::class.java)).get()
            until { alerts(opened).isNotEmpty() }
            Drawing(opened.window.decorView).keep("meeting-refused-${uri.lastPathSegment}")
        }
    }

    private fun alerts(page: Page) =
        page.window.decorView.everything().filter { it.accessibilityLiveRegion == View.ACCESSIBILITY_LIVE_REGION_ASSERTIVE && it.says().isNotEmpty() }

    @Test
    fun `a record that cannot be read leaves words and ways on`() {
        app.beginAnew()
        app.store().writeText("not a record at all, ".repeat(400))
        val scan = page(ScanActivity::class.java).get()
        type(scan, say.codeOnTag, Hoses.READY)
        touch(scan, say.answer)
        assertTrue(words(scan), alerts(scan).isNotEmpty())
        assertEquals(emptyList<String>(), Drawing(scan.window.decorView).complaints())
        touch(scan, "Share a copy of the record")
        assertEquals(Intent.ACTION_CHOOSER, started(scan)!!.action)
    }

    @Test
    fun `a screen reader is told the verdict, headlines, and obstacles`() {
        val reader = app.getSystemService(AccessibilityManager::class.java)
        shadowOf(reader).setEnabled(true)
        val hose = page(HoseActivity::class.java, Page.CODE to Hoses.HOLD).get()
        val all = hose.window.decorView.everything()
        val verdict = all.first { it.tag == "verdict" }
        assertEquals(View.ACCESSIBILITY_LIVE_REGION_POLITE, verdict.accessibilityLiveRegion)
        assertTrue(verdict.isAccessibilityHeading && verdict.isFocusable)
        assertTrue(all.any { it.isAccessibilityHeading && it.says() == say.history })
        // Before it in the page stands nothing but the page's name.
        val said = all.filter { it.isShown && it.says().isNotEmpty() }.map { it.says() }
        assertEquals(listOf(say.answer, verdict.says()), said.take(2))

        val scan = page(ScanActivity::class.java).get()
        type(scan, say.codeOnTag, "nonsense")
        val before = shadowOf(reader).sentAccessibilityEvents.size
        touch(scan, say.answer)
        val told = shadowOf(reader).sentAccessibilityEvents.drop(before).filter {
            it.eventType == AccessibilityEvent.TYPE_WINDOW_CONTENT_CHANGED && it.contentChangeTypes and AccessibilityEvent.CONTENT_CHANGE_TYPE_TEXT != 0
        }
        assertTrue("$told", told.isNotEmpty())
        assertTrue(alerts(scan).single().says().contains("nonsense"))
    }

    @Test
    fun `the verdict is said aloud, and never over a screen reader`() {
        fun spoken(): String? {
            page(HoseActivity::class.java, Page.CODE to Hoses.HOLD, HoseActivity.SPEAK to true).get()
            val engine = ShadowTextToSpeech.getLastTextToSpeechInstance()
            shadowOf(engine).clearLastSpokenText()
            shadowOf(engine).onInitListener.onInit(TextToSpeech.SUCCESS)
            return shadowOf(engine).lastSpokenText
        }
        assertTrue(spoken()!!.startsWith("HOLD. "))
        shadowOf(app.getSystemService(AccessibilityManager::class.java)).setTouchExplorationEnabled(true)
        assertNull(spoken())
    }

    @Test
    fun `a phone that is silent still buzzes`() {
        val set = form(FormOf.Settings).get()
        touch(set, "Say aloud what is scanned")
        touch(set, "Save")
        val vibrator = shadowOf(app.getSystemService(android.os.Vibrator::class.java))
        page(HoseActivity::class.java, Page.CODE to Hoses.HOLD, HoseActivity.SPEAK to true).get()
        shadowOf(ShadowTextToSpeech.getLastTextToSpeechInstance()).run {
            onInitListener.onInit(TextToSpeech.SUCCESS)
            assertNull(lastSpokenText)
        }
        assertEquals(listOf(0L, 400L, 150L, 400L), vibrator.pattern.toList())
    }

    /** Five scans, and two touches: where the ticket is typed, and the button. */
    @Test
    fun `a set of five is handed out with five scans and two touches`() {
        counter("fit", Hoses.SPARE, "--set", "R2", "--port", "LP4")
        counter("inspect", Hoses.SPARE, "--kind", "leak-test", "--pressure", "200bar", "--method", "under-water", "--passed")
        val all = Regex("[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]").findAll(counter("list", "--set", "R2")).map { it.value }.distinct().toList()
        assertEquals(5, all.size)
        val form = form(FormOf.HandOut("R2")).get()
        val camera = page(ScanActivity::class.java, started(form)!!).get()
        val scan: Lazy<org.hosewright.companion.Screen> = org.robolectric.util.ReflectionHelpers.getField(camera, "scan\$delegate")
        for (code in all) {
            scan.value.frame(listOf("HW1:${code.replace("-", "")}."))
            settle()
        }
        assertTrue(camera.isFinishing)
        assertTrue(shadowOf(app.getSystemService(android.os.Vibrator::class.java)).isVibrating)
        var touches = 0
        // The page is looked at again behind the camera.
        val back = form(FormOf.HandOut("R2")).get()
        assertNull(started(back))
        type(back, "Ticket", "4711").also { touches += 1 }
        touch(back, "Hand out").also { touches += 1 }
        assertTrue(words(back), words(back).contains("ticket 4711, with 5 hoses"))
        assertEquals(2, touches)
    }

    @Test
    fun `how old it is and when it was looked over stand under the word, in large letters`() {
        val hose = page(HoseActivity::class.java, Page.CODE to Hoses.READY).get()
        val card = hose.window.decorView.everything().first { it.tag == "verdict" }
        val lines = card.everything().filterIsInstance<android.widget.TextView>()
        val large = lines.filter { it.textSize == app.resources.getDimension(R.dimen.text_asked) }.map { it.text.toString() }
        assertEquals(2, large.size)
        assertTrue("$large", large[0].endsWith("old"))
        assertEquals(listOf("READY") + large, lines.map { it.text.toString() }.take(3))
    }

    @Test
    fun `a swap is found by scanning the new hose`() {
        val hose = page(HoseActivity::class.java, Page.CODE to Hoses.RETIRE).get()
        touch(hose, "Swap for another hose")
        val stock = page(StockActivity::class.java, started(hose)!!).get()
        touch(stock, say.scan)
        val asked = started(stock)!!
        assertTrue(asked.getBooleanExtra(Page.FIND, false))
        val scan = page(ScanActivity::class.java, asked).get()
        type(scan, say.codeOnTag, Hoses.SPARE)
        touch(scan, say.answer)
        assertTrue(scan.isFinishing)
        assertEquals(Activity.RESULT_OK, shadowOf(scan).resultCode)
        shadowOf(stock).receiveResult(asked, Activity.RESULT_OK, shadowOf(scan).resultIntent)
        val swap = started(stock)!!
        assertEquals(FormOf.Swap(Hoses.RETIRE, Hoses.SPARE), swap.form())
    }

    @Test
    fun `the verdict is the largest thing on its page, and its colour is there`() {
        for ((code, verdict) in listOf(Hoses.READY to Verdict.READY, Hoses.WATCH to Verdict.WATCH, Hoses.HOLD to Verdict.HOLD, Hoses.RETIRE to Verdict.RETIRE)) {
            val hose = page(HoseActivity::class.java, Page.CODE to code).get()
            val texts = hose.window.decorView.everything().filterIsInstance<android.widget.TextView>().filter { it.isShown }
            val largest = texts.maxByOrNull { it.textSize }!!
            assertEquals(verdict.name, largest.text.toString())
            val window = Drawing(hose.window.decorView)
            assertTrue(window.pixels(Drawing.colour(verdict)) > 2_000)
            for (other in Verdict.entries.filter { it > verdict }) assertEquals(0, window.pixels(Drawing.colour(other)))
        }
    }
}
