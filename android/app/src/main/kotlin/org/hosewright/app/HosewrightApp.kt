package org.hosewright.app

import android.app.Application
import android.os.Handler
import android.os.Looper
import java.io.File
import java.time.LocalDate
import java.util.concurrent.Executor
import org.hosewright.companion.Desk
import org.hosewright.core.Place

/** The app: it has the one record of this phone. */
open class HosewrightApp : Application() {
    private val handler = Handler(Looper.getMainLooper())

    /** The thread of screens. */
    val main = Executor { handler.post(it) }

    /** The record. It is never closed: the system ends the process, and the core keeps nothing back. */
    val desk: Desk by lazy { Desk(place(), ::today, main) }

    /** The voice, made when it is needed first. */
    val voice: Voice by lazy { Voice(this) }

    /** The day on which is asked and entered, by the phone's calendar. */
    protected open fun today(): String = LocalDate.now().toString()

    /** The record's file, which may be shared as it is where it cannot be used. */
    fun store(): File = File(File(filesDir, "record").apply { mkdirs() }, "record.hosewright")

    /** The key stays out of backups: a restored record is then known to be a copy. */
    private fun place() = Place(store().path, File(noBackupFilesDir, "keys").path)
}
