package org.hosewright.app

import android.app.Activity
import android.content.ClipData
import android.content.ContentProvider
import android.content.ContentValues
import android.content.Context
import android.content.Intent
import android.database.Cursor
import android.database.MatrixCursor
import android.net.Uri
import android.os.ParcelFileDescriptor
import android.provider.OpenableColumns
import java.io.File
import java.io.FileNotFoundException
import java.io.IOException
import java.util.zip.ZipEntry
import java.util.zip.ZipOutputStream

/**
 * Hands files of the cache to whom the person shares them with, for reading alone. The
 * camera's app writes one: the photo that it was asked for.
 */
class SharedFiles : ContentProvider() {
    override fun onCreate() = true

    override fun openFile(uri: Uri, mode: String): ParcelFileDescriptor {
        val file = file(uri)
        if (mode != "r" && file.name != TAKEN) throw FileNotFoundException("read only")
        return ParcelFileDescriptor.open(file, ParcelFileDescriptor.parseMode(mode))
    }

    override fun query(uri: Uri, columns: Array<String>?, where: String?, values: Array<String>?, order: String?): Cursor {
        val file = file(uri)
        val wanted = columns ?: arrayOf(OpenableColumns.DISPLAY_NAME, OpenableColumns.SIZE)
        val row = wanted.map {
            when (it) {
                OpenableColumns.DISPLAY_NAME -> file.name
                OpenableColumns.SIZE -> file.length()
                else -> null
            }
        }
        return MatrixCursor(wanted, 1).apply { addRow(row) }
    }

    override fun getType(uri: Uri) = typeOf(uri.lastPathSegment.orEmpty())

    override fun insert(uri: Uri, values: ContentValues?): Uri? = null

    override fun update(uri: Uri, values: ContentValues?, where: String?, of: Array<String>?) = 0

    override fun delete(uri: Uri, where: String?, of: Array<String>?) = 0

    /** A name alone: nothing outside of the folder can be asked for. */
    private fun file(uri: Uri): File {
        val name = uri.lastPathSegment.orEmpty()
        val file = File(folder(context ?: throw FileNotFoundException()), name)
        if (name.isEmpty() || name.contains('/') || name == ".." || !file.isFile) throw FileNotFoundException(name)
        return file
    }

    companion object {
        /** The folder whose files can be shared. */
        fun folder(context: Context): File = File(context.cacheDir, "shared").apply { mkdirs() }

        /** The photo that the camera's app is asked for. */
        const val TAKEN = "taken.jpg"

        /** By what another app is told of a file of [folder]. */
        fun uri(context: Context, name: String): Uri =
            Uri.Builder().scheme("content").authority("${context.packageName}.files").appendPath(name).build()

        /** Opens the system's sheet for sharing a file of [folder]. */
        fun share(activity: Activity, file: File) {
            val uri = uri(activity, file.name)
            val send = Intent(Intent.ACTION_SEND).apply {
                type = typeOf(file.name)
                putExtra(Intent.EXTRA_STREAM, uri)
                clipData = ClipData.newRawUri(file.name, uri)
                addFlags(Intent.FLAG_GRANT_READ_URI_PERMISSION)
            }
            activity.startActivity(Intent.createChooser(send, null))
        }

        /** The store and what SQLite has beside it, in one file. Blocks, and throws if there is no room. */
        fun copyOf(context: Context, store: File): File = zipOf(context, listOf(store, File("${store.path}-wal")))

        /** Files in one. Blocks, and throws if there is no room. */
        fun zipOf(context: Context, files: List<File>): File {
            val copy = File(folder(context), "record-copy.zip")
            ZipOutputStream(copy.outputStream()).use { zip ->
                for (file in files.filter { it.isFile }) {
                    zip.putNextEntry(ZipEntry(file.name))
                    file.inputStream().use { it.copyTo(zip) }
                    zip.closeEntry()
                }
            }
            return copy
        }

        /** Takes in a file that another app hands over; none if it cannot be read. Blocks. */
        fun receive(context: Context, uri: Uri): File? =
            try {
                val file = File(folder(context), "received.hwbundle")
                context.contentResolver.openInputStream(uri)?.use { from ->
                    file.outputStream().use { from.copyTo(it) }
                    file
                }
            } catch (_: IOException) {
                null
            } catch (_: SecurityException) {
                null
            }

        private fun typeOf(name: String) =
            when {
                name.endsWith(".pdf") -> "application/pdf"
                name.endsWith(".jpg") -> "image/jpeg"
                else -> "application/octet-stream"
            }
    }
}
