package org.hosewright.app

import android.app.Activity
import android.content.Intent
import android.nfc.FormatException
import android.nfc.NdefMessage
import android.nfc.NfcAdapter
import android.nfc.Tag
import android.nfc.tech.Ndef
import android.nfc.tech.NdefFormatable
import java.io.IOException
import org.hosewright.companion.Chip
import org.hosewright.core.Obstacle

/** The phone's reader of chips. */
class Chips(private val activity: Activity) {
    private val adapter: NfcAdapter? = NfcAdapter.getDefaultAdapter(activity)

    /** What blocks it. */
    fun obstacle(): Obstacle? =
        when {
            adapter == null -> Obstacle.NO_CHIPS
            !adapter.isEnabled -> Obstacle.CHIPS_OFF
            else -> null
        }

    /** While this page is looked at, chips come to it and to no other app. */
    fun listen(near: (Tag) -> Unit) {
        val kinds = NfcAdapter.FLAG_READER_NFC_A or NfcAdapter.FLAG_READER_NFC_V
        adapter?.enableReaderMode(activity, { near(it) }, kinds, null)
    }

    /** The page is left. */
    fun stop() {
        adapter?.disableReaderMode(activity)
    }

    companion object {
        /** The message that the system read from a chip before it began this app. */
        fun messageOf(intent: Intent): ByteArray? {
            if (intent.action != NfcAdapter.ACTION_NDEF_DISCOVERED) return null
            @Suppress("DEPRECATION") // The typed form needs API 33.
            val messages = intent.getParcelableArrayExtra(NfcAdapter.EXTRA_NDEF_MESSAGES)
            return (messages?.firstOrNull() as? NdefMessage)?.toByteArray()
        }

        /** A chip as the screens reach it; none if it is of a kind that holds no messages. */
        fun chipOf(tag: Tag): Chip? = Ndef.get(tag)?.let(::Written) ?: NdefFormatable.get(tag)?.let(::Fresh)
    }

    /** A chip that is prepared for messages. */
    private class Written(private val ndef: Ndef) : Chip {
        override val room: Int get() = ndef.maxSize

        override fun read(): ByteArray = connected { ndef.ndefMessage?.toByteArray() ?: ByteArray(0) }

        override fun write(message: ByteArray) = connected { ndef.writeNdefMessage(NdefMessage(message)) }

        private fun <T> connected(work: () -> T): T =
            try {
                ndef.connect()
                work()
            } catch (broken: FormatException) {
                throw IOException(broken)
            } catch (gone: SecurityException) {
                // So says Android 13 of a chip that was taken away and came again.
                throw IOException(gone)
            } finally {
                ndef.close()
            }
    }

    /** A chip out of the packet, which is prepared by the first message. */
    private class Fresh(private val chip: NdefFormatable) : Chip {
        /** The smallest chip that carries a tag (NTAG213); a larger one says so once it is prepared. */
        override val room: Int get() = 137

        override fun read(): ByteArray = ByteArray(0)

        override fun write(message: ByteArray) =
            try {
                chip.connect()
                chip.format(NdefMessage(message))
            } catch (broken: FormatException) {
                throw IOException(broken)
            } catch (gone: SecurityException) {
                throw IOException(gone)
            } finally {
                chip.close()
            }
    }
}
