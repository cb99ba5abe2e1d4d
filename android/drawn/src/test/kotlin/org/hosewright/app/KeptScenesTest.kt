package org.hosewright.app

import android.Manifest
import android.app.Activity
import android.app.AlarmManager
import android.app.NotificationManager
import android.content.Intent
import android.content.pm.PackageManager
import android.net.Uri
import android.provider.MediaStore
import android.widget.CheckBox
import android.widget.ImageView
import java.io.File
import java.io.FileNotFoundException
import java.time.Instant
import java.time.ZoneId
import org.hosewright.companion.say
import org.hosewright.core.FormOf
import org.hosewright.core.ReminderShown
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertNotNull
import org.junit.Assert.assertThrows
import org.junit.Assert.assertTrue
import org.junit.Test
import org.robolectric.Robolectric
import org.robolectric.Shadows.shadowOf

/** Photos of what was found, what nobody else has yet, what is due, and tags to print. */
class KeptScenesTest : Scenes() {
    /** A look at a hose on which something was found. */
    private fun quick() = form(FormOf.Hose(Hoses.SPARE, "quick-look")).get().also {
        val found = named(it, "a cut in the cover") { view -> view is CheckBox } as CheckBox
        if (!found.isChecked) touch(it, "a cut in the cover")
    }

    private fun camera() {
        shadowOf(app.packageManager).setSystemFeature(PackageManager.FEATURE_CAMERA_ANY, true)
        shadowOf(app).grantPermissions(Manifest.permission.CAMERA)
    }

    /** A photo, as the camera's app writes it. */
    private fun photo(file: File) {
        val image = java.awt.image.BufferedImage(800, 600, java.awt.image.BufferedImage.TYPE_INT_RGB)
        for (y in 0 until 600) for (x in 0 until 800) image.setRGB(x, y, x * 255 / 800 shl 16 or (y * 255 / 600 shl 8) or 0x40)
        javax.imageio.ImageIO.write(image, "png", file)
    }

    private fun shownPhotos(page: Page) = page.window.decorView.everything().filterIsInstance<ImageView>().filter { it.isShown }

    @Test
    fun `a photo is taken, shown, left out, and kept with what was found`() {
        camera()
        drawn("photo-none") { quick() }
        val page = quick()
        touch(page, say.takePhoto)
        val asked = started(page)!!
        assertEquals(MediaStore.ACTION_IMAGE_CAPTURE, asked.action)
        @Suppress("DEPRECATION") // The typed form needs API 33.
        val uri = asked.getParcelableExtra<Uri>(MediaStore.EXTRA_OUTPUT)!!
        assertEquals("content" to SharedFiles.TAKEN, uri.scheme to uri.lastPathSegment)
        assertTrue(asked.flags and Intent.FLAG_GRANT_WRITE_URI_PERMISSION != 0)
        photo(File(SharedFiles.folder(app), SharedFiles.TAKEN))
        shadowOf(page).receiveResult(asked, Activity.RESULT_OK, null)
        until { shownPhotos(page).isNotEmpty() }
        drawn("photo-taken") { quick() }
        assertEquals(800 * 10 / 600, shownPhotos(page).single().run { width * 10 / height })
        touch(page, say.leavePhoto)
        assertTrue(shownPhotos(page).isEmpty())
    }

    @Test
    fun `a photo of the phone's own is chosen by the system's picker`() {
        val page = quick()
        // A phone without a camera has none to take it with.
        assertFalse(words(page), words(page).contains(say.takePhoto))
        touch(page, say.choosePhoto)
        val asked = started(page)!!
        assertEquals(MediaStore.ACTION_PICK_IMAGES, asked.action)
        val chosen = Uri.parse("content://somewhere.else/photo")
        val file = File(app.cacheDir, "chosen.png").also(::photo)
        shadowOf(app.contentResolver).registerInputStreamSupplier(chosen) { file.inputStream() }
        shadowOf(page).receiveResult(asked, Activity.RESULT_OK, Intent().setData(chosen))
        until { shownPhotos(page).isNotEmpty() }
        assertTrue(file.exists())
        // One that is gone by then is said, and nothing is lost.
        touch(page, say.leavePhoto)
        touch(page, say.choosePhoto)
        val again = started(page)!!
        val gone = Uri.parse("content://somewhere.else/gone")
        shadowOf(app.contentResolver).registerInputStreamSupplier(gone) { throw FileNotFoundException() }
        shadowOf(page).receiveResult(again, Activity.RESULT_OK, Intent().setData(gone))
        until { words(page).contains("No photo came of it") }
    }

    @Test
    fun `a camera that may not be used is said, and the phone's own photos are left`() {
        shadowOf(app.packageManager).setSystemFeature(PackageManager.FEATURE_CAMERA_ANY, true)
        val page = quick()
        touch(page, say.takePhoto)
        assertTrue(started(page)?.action != MediaStore.ACTION_IMAGE_CAPTURE)
        val asked = shadowOf(page).lastRequestedPermission
        assertEquals(listOf(Manifest.permission.CAMERA), asked.requestedPermissions.toList())
        page.onRequestPermissionsResult(asked.requestCode, asked.requestedPermissions, intArrayOf(PackageManager.PERMISSION_DENIED))
        settle()
        assertTrue(words(page), words(page).contains("No photo came of it") && words(page).contains(say.choosePhoto))
    }

    /** Nothing but the photo that is asked for can be written into the app's files. */
    @Test
    fun `another app writes the photo and nothing else`() {
        val files = Robolectric.setupContentProvider(SharedFiles::class.java, "org.hosewright.companion.files")
        File(SharedFiles.folder(app), "tags.pdf").writeText("mine")
        File(SharedFiles.folder(app), SharedFiles.TAKEN).writeText("")
        val uri = { name: String -> SharedFiles.uri(app, name) }
        assertThrows(FileNotFoundException::class.java) { files.openFile(uri("tags.pdf"), "w") }
        assertThrows(FileNotFoundException::class.java) { files.openFile(uri("other.jpg"), "w") }
        // A JVM opens no descriptor: what is let through fails later, and otherwise.
        for ((name, mode) in listOf(SharedFiles.TAKEN to "w", "tags.pdf" to "r")) {
            assertFalse(name, runCatching { files.openFile(uri(name), mode) }.exceptionOrNull() is FileNotFoundException)
        }
    }

    @Test
    fun `what nobody else has yet stands on the first page and where records meet`() {
        val clean = form(FormOf.Hose(Hoses.SPARE, "clean")).get()
        touch(clean, "Save")
        drawn("scan-closing") { page(ScanActivity::class.java).get() }
        drawn("meeting-closing") { page(MeetingActivity::class.java).get() }
        val scan = page(ScanActivity::class.java).get()
        assertTrue(words(scan), words(scan).contains("1 entry is on this device alone"))
    }

    @Test
    fun `a reminder is asked for, set, shown and taken away`() {
        val alarms = shadowOf(app.getSystemService(AlarmManager::class.java))
        page(ScanActivity::class.java).get()
        assertTrue(alarms.scheduledAlarms.isEmpty())
        val settings = form(FormOf.Settings).get()
        touch(settings, "Remind me of what is due")
        val asked = shadowOf(settings).lastRequestedPermission
        assertEquals(listOf(Manifest.permission.POST_NOTIFICATIONS), asked.requestedPermissions.toList())
        settings.onRequestPermissionsResult(asked.requestCode, asked.requestedPermissions, intArrayOf(PackageManager.PERMISSION_DENIED))
        settle()
        measured("reminders-refused", settings)
        assertTrue(words(settings), words(settings).contains("does not let the app show reminders"))
        shadowOf(app).grantPermissions(Manifest.permission.POST_NOTIFICATIONS)
        touch(settings, "Remind me of what is due")
        touch(settings, "Save")
        page(ScanActivity::class.java).get()
        // It is taken away as it is looked at.
        val set = alarms.nextScheduledAlarm!!
        val on = Instant.ofEpochMilli(set.triggerAtMs).atZone(ZoneId.systemDefault())
        assertTrue("$on", on.toLocalDate().toString() > TODAY && on.hour == 8)
        // The phone was switched off in between.
        Reminders().onReceive(app, Intent(Intent.ACTION_BOOT_COMPLETED))
        assertEquals(set.triggerAtMs, alarms.nextScheduledAlarm!!.triggerAtMs)
        Reminders().onReceive(app, Intent())
        val shown = shadowOf(app.getSystemService(NotificationManager::class.java)).allNotifications.single()
        val leads = shadowOf(shown.contentIntent).savedIntent
        assertEquals(DueActivity::class.java.name, leads.component!!.className)
        assertTrue(shadowOf(shown).contentText.isNotEmpty())
        // It comes once.
        Reminders().onReceive(app, Intent())
        assertEquals(1, shadowOf(app.getSystemService(NotificationManager::class.java)).allNotifications.size)
        Reminders.keep(app, ReminderShown("2099-01-01", 8u, "due", "a hose"))
        assertEquals(1, alarms.scheduledAlarms.size)
        Reminders.keep(app, null)
        assertTrue(alarms.scheduledAlarms.isEmpty())
    }

    @Test
    fun `tags to print, and a new tag of a set`() {
        drawn("tags") { form(FormOf.Tags("R2")).get() }
        drawn("set-new-tag") { form(FormOf.Set("R2", "new-tag")).get() }
        val page = form(FormOf.Tags("R2")).get()
        touch(page, "Print tags")
        until { started(page)?.action == Intent.ACTION_CHOOSER }
        assertTrue(File(SharedFiles.folder(app), "tags.pdf").readText(Charsets.ISO_8859_1).startsWith("%PDF-"))
        measured("tags-made", page)
        touch(page, say.shareFile)
        assertEquals(Intent.ACTION_CHOOSER, started(page)!!.action)
        val hoses = page(HosesActivity::class.java).get()
        touch(hoses, say.printTags)
        assertEquals(FormOf.Tags(null), started(hoses)!!.form())
    }

    @Test
    fun `a form is left as it is by a touch on its bar`() {
        for (look in Look.ALL) {
            look(look)
            val page = quick()
            touch(page, say.leaveIt)
            assertTrue("$look", page.isFinishing)
        }
        look(Look())
        val scan = page(ScanActivity::class.java, Page.FIND to true).get()
        touch(scan, say.leaveIt)
        assertTrue(scan.isFinishing && shadowOf(scan).resultCode == Activity.RESULT_CANCELED)
        // Where nothing is to be left there is no such way.
        assertFalse(words(page(HosesActivity::class.java).get()).lines().contains(say.leaveIt))
        assertNotNull(form(FormOf.Help).get())
    }
}
