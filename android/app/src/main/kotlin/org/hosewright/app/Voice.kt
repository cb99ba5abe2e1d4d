package org.hosewright.app

import android.content.Context
import android.os.VibrationEffect
import android.os.Vibrator
import android.speech.tts.TextToSpeech
import android.view.accessibility.AccessibilityManager
import java.util.Locale
import org.hosewright.core.Answer
import org.hosewright.core.Verdict

/**
 * The verdict for the ear and the hand. There is one for all pages: what it says of the last
 * hose is heard to its end on the next. A phone without a voice is silent, no more.
 */
class Voice(context: Context) {
    private val vibrator: Vibrator? = context.getSystemService(Vibrator::class.java)
    private val reader = context.getSystemService(AccessibilityManager::class.java)
    private var ready = false
    private var waiting: String? = null
    private val speech: TextToSpeech

    init {
        speech = TextToSpeech(context) { status -> began(status == TextToSpeech.SUCCESS) }
    }

    private fun began(can: Boolean) {
        ready = can
        if (can) {
            speech.setLanguage(Locale.ENGLISH)
            waiting?.let(::say)
        }
        waiting = null
    }

    /** Says a verdict if it is to be told [aloud], and buzzes in any case. */
    fun tell(answer: Answer, aloud: Boolean) = tick(answer.spoken, answer.verdict < Verdict.HOLD, aloud)

    /** One short buzz for what is well, as what may be dived; two long ones for what is not. */
    fun tick(words: String, well: Boolean, aloud: Boolean) {
        val pattern = if (well) longArrayOf(0, 80) else longArrayOf(0, 400, 150, 400)
        vibrator?.takeIf { it.hasVibrator() }?.vibrate(VibrationEffect.createWaveform(pattern, -1))
        // A screen reader says it by itself, and is not spoken over.
        if (aloud && !reader.isTouchExplorationEnabled) say(words)
    }

    /** Says a text, and nothing that was being said before. */
    fun say(text: String) {
        if (ready) speech.speak(text, TextToSpeech.QUEUE_FLUSH, null, "answer") else waiting = text
    }

    /** Is silent. */
    fun stop() {
        waiting = null
        speech.stop()
    }
}
