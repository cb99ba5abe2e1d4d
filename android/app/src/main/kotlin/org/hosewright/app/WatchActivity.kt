package org.hosewright.app

import android.os.Bundle
import android.view.WindowManager
import org.hosewright.companion.FrameReader
import org.hosewright.companion.Screen
import org.hosewright.companion.say
import org.hosewright.core.FilmSeen
import org.hosewright.core.Follows
import org.hosewright.core.PageOf
import org.hosewright.core.Touch

/** Another device's film before this phone's camera. */
class WatchActivity : CameraPage() {
    private val watch by screen { PageOf.Watch }
    override val reader by lazy { FrameReader(app.main, watch::watched, ::unread, watch::eye) }
    private val bar by lazy { FilmBar(this) }

    /** How far it was when the page was touched last; frames bring it on from there. */
    private var touched: FilmSeen? = null

    override val screens: List<Screen> get() = listOf(watch)
    override val name get() = say.filmWatched
    override val looks get() = watch.shown.watching?.looks == true

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        watch.onFilm = bar::show
        // A screen that goes dark ends the film.
        window.addFlags(WindowManager.LayoutParams.FLAG_KEEP_SCREEN_ON)
        show()
    }

    override fun build(on: Sheet) {
        trouble(on, watch)
        settings(on)
        if (watch.shown.said.isNotEmpty()) on.said(watch.shown.said.joinToString("\n"))
        val watching = watch.shown.watching
        if (watching == null || watch.asking > 0 && !watching.looks) on.quiet(watch.progress ?: say.asking)
        if (watching == null) return
        if (watching.looks) {
            if (touched != watching.seen) bar.show(watching.seen)
            touched = watching.seen
            // Without a camera nothing is held before it.
            if (watch.shown.trouble == null) {
                on.own(bar)
                on.words(watching.lead)
            }
            watching.halves.forEach { on.words(it) }
            if (watching.halves.isNotEmpty()) on.button("forget", say.forgetFilms) { watch.touch(Touch.ForgetFilms) }
            on.next("stop", say.stopFilm) { finish() }
        } else if (watch.shown.question == null) {
            watch.shown.lacks?.let { lacking -> on.next("rest", say.showRest) { startActivity(film(lacking)) } }
            on.orNext("watch", say.watchFilm) { watch.touch(Touch.WatchOn) }
        }
    }

    override fun follows(screen: Screen, follows: Follows) {
        // The person looks at the other screen, and feels that it is done.
        if (follows is Follows.Ticked) app.voice.tick(follows.words, follows.well, aloud = false) else super.follows(screen, follows)
    }

    override fun onResume() {
        super.onResume()
        watch.touch(Touch.Look)
    }

    override fun onPause() {
        // Left or killed, it goes on from here.
        watch.touch(Touch.KeepFilm)
        super.onPause()
    }
}
