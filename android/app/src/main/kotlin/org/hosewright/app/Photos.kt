package org.hosewright.app

import android.app.Activity
import android.content.ClipData
import android.content.Intent
import android.content.pm.PackageManager
import android.graphics.Bitmap
import android.graphics.BitmapFactory
import android.net.Uri
import android.os.Build
import android.provider.MediaStore
import java.io.File
import java.io.FileNotFoundException

/**
 * Photos of what was found: taken by the camera's own app, or chosen of those that are on
 * the phone, which needs no permission. What is kept of them the core decides.
 */
class Photos(private val page: Activity) {
    /** Each is unpacked once, and not whenever the page is built. */
    private val unpacked = mutableMapOf<String, Bitmap>()

    /** Whether there is a camera. */
    val canTake: Boolean get() = page.packageManager.hasSystemFeature(PackageManager.FEATURE_CAMERA_ANY)

    /** The photo that the core has in a file; none if it has none. */
    fun at(path: String): Bitmap? =
        if (path.isEmpty()) null else unpacked[path] ?: BitmapFactory.decodeFile(path)?.also { unpacked[path] = it }

    /** Leads to the camera's own app, which puts its photo into a file of this one. */
    fun taking(): Intent {
        taken().run {
            delete()
            createNewFile()
        }
        val uri = SharedFiles.uri(page, SharedFiles.TAKEN)
        return Intent(MediaStore.ACTION_IMAGE_CAPTURE).putExtra(MediaStore.EXTRA_OUTPUT, uri).apply {
            clipData = ClipData.newRawUri(SharedFiles.TAKEN, uri)
            addFlags(Intent.FLAG_GRANT_WRITE_URI_PERMISSION or Intent.FLAG_GRANT_READ_URI_PERMISSION)
        }
    }

    private fun taken() = File(SharedFiles.folder(page), SharedFiles.TAKEN)

    /**
     * A copy of this app's own, of a photo of another app or of the one that the camera took
     * where there is none. Blocks, and throws if there is no photo.
     */
    fun copy(from: Uri?): File {
        val copy = File.createTempFile("photo", ".jpg", page.cacheDir)
        val photo = if (from == null) taken().inputStream() else page.contentResolver.openInputStream(from)
        (photo ?: throw FileNotFoundException()).use { bytes -> copy.outputStream().use { bytes.copyTo(it) } }
        if (copy.length() == 0L) throw FileNotFoundException("the camera took none")
        return if (known(copy)) copy else unpacked(copy)
    }

    /** The core reads JPEG and PNG; of another kind it gets what this phone makes of it. */
    private fun unpacked(copy: File): File {
        val most = BitmapFactory.Options().apply { inJustDecodeBounds = true }
        BitmapFactory.decodeFile(copy.path, most)
        val options = BitmapFactory.Options().apply {
            // Twice as large as what is kept, or less.
            inSampleSize = Integer.highestOneBit((maxOf(most.outWidth, most.outHeight) / ENOUGH).coerceAtLeast(1))
        }
        val photo = BitmapFactory.decodeFile(copy.path, options) ?: return copy
        copy.outputStream().use { photo.compress(Bitmap.CompressFormat.JPEG, 95, it) }
        return copy
    }

    private fun known(file: File): Boolean {
        val head = ByteArray(2)
        file.inputStream().use { it.read(head) }
        return head.contentEquals(JPEG) || head.contentEquals(PNG)
    }

    companion object {
        private const val ENOUGH = 2560
        private val JPEG = byteArrayOf(0xFF.toByte(), 0xD8.toByte())
        private val PNG = byteArrayOf(0x89.toByte(), 0x50)

        /** Leads to the photos that are on the phone, by the system's own picker. */
        fun choosing(): Intent =
            if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.TIRAMISU) Intent(MediaStore.ACTION_PICK_IMAGES).setType("image/*")
            else Intent(Intent.ACTION_OPEN_DOCUMENT).addCategory(Intent.CATEGORY_OPENABLE).setType("image/*")
    }
}
