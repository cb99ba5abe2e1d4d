package org.hosewright.app

import android.content.Intent
import android.net.Uri
import android.os.Bundle
import java.io.File
import org.hosewright.companion.say
import org.hosewright.core.FilmOf
import org.hosewright.core.FormOf
import org.hosewright.core.Obstacle
import org.hosewright.core.PageOf
import org.hosewright.core.Touch

/** Records that meet: the share sheet out, and a file in. */
class MeetingActivity : OnePage() {
    override fun of() = PageOf.Meeting
    override val name get() = say.shareAndReceive

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        if (state == null && intent.action == Intent.ACTION_SEND) {
            @Suppress("DEPRECATION") // The typed form needs API 33.
            intent.getParcelableExtra<Uri>(Intent.EXTRA_STREAM)?.let(::receive)
        }
        if (state == null && intent.action == Intent.ACTION_VIEW) intent.data?.let(::receive)
        show()
    }

    override fun build(on: Sheet) {
        // What comes in is stopped, or waited for.
        if (screen.underWay) screen.shown.question?.words?.forEach { on.words(it) }
        if (underWay(on, screen)) return
        trouble(on, screen)
        if (screen.asking > 0) on.quiet(say.asking)
        if (screen.shown.said.isNotEmpty()) on.said(screen.shown.said.joinToString("\n"))
        screen.shown.sharing?.let { closing(on, it) }
        on.button("share", say.shareRecord, main = true) {
            screen.touch(Touch.Bundle(File(SharedFiles.folder(this), "phone.hwbundle").path))
        }
        on.button("receive", say.receiveRecord) {
            val open = Intent(Intent.ACTION_OPEN_DOCUMENT).addCategory(Intent.CATEGORY_OPENABLE).setType("*/*")
            startActivityForResult(open, FILE)
        }
        on.button("network", say.network) { startActivity(form(FormOf.Counters(null))) }
        if (screen.shown.setAside.isNotEmpty()) {
            on.button("set-aside", say.shareDamaged) {
                val files = screen.shown.setAside.map(::File)
                share(screen) { SharedFiles.zipOf(this, files) }
            }
        }
        screen.shown.sharing?.others?.forEach { on.words(it) }
        if (screen.shown.bySight.isEmpty()) return
        on.heading(say.bySight)
        screen.shown.bySight.forEach { on.words(it) }
        screen.shown.lacks?.let { lacking -> on.button("rest", say.showRest, main = true) { startActivity(film(lacking)) } }
        on.button("watch", say.watchFilm) { startActivity(Intent(this, WatchActivity::class.java)) }
        on.button("show-here", say.showHere) { startActivity(film(FilmOf.Holdings)) }
        on.button("show-all", say.showAll) { startActivity(film(FilmOf.Everything)) }
    }

    @Deprecated("The framework has no other form without libraries.")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        if (request == FILE && result == RESULT_OK) data?.data?.let(::receive)
    }

    /** Copies on a thread of its own: the file may come over a network of the other app's. */
    private fun receive(uri: Uri) {
        Thread {
            val file = SharedFiles.receive(this, uri)
            app.main.execute {
                if (file == null) screen.hindered(Obstacle.FILE_LOST) else screen.touch(Touch.TakeIn(file.path))
            }
        }.start()
    }

    private companion object {
        const val FILE = 1
    }
}
