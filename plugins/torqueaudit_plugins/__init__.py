"""The bundled plugins: each uses only what an outside plugin could."""
